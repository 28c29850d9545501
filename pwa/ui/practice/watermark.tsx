// The mark of practice on every screen: the word and hollow strokes over the
// page, in nobody's way, and the word once more on every sheet.
import type { JSX } from "preact";
import { useEffect } from "preact/hooks";
import { say } from "../parts/say";

export function Watermark(): JSX.Element {
  useEffect(() => {
    const root = document.documentElement;
    root.classList.add("practising");
    root.style.setProperty("--practice", JSON.stringify(say("practice.word")));
    return () => root.classList.remove("practising");
  }, []);
  return (
    <svg class="watermark" aria-hidden="true">
      <defs>
        <pattern id="practice-strokes" width="44" height="44" patternUnits="userSpaceOnUse" patternTransform="rotate(-30)">
          <path d="M4 8L8 5V21H4ZM15 8L19 5V21H15ZM26 8L30 5V21H26Z" />
        </pattern>
      </defs>
      <rect width="100%" height="100%" fill="url(#practice-strokes)" />
      <text x="50%" y="50%">
        {say("practice.word")}
      </text>
    </svg>
  );
}
