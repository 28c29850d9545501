// A wall before there is anything to show: what is missing, and who brings it. The
// last lines leave first.
import type { JSX } from "preact";
import { useEffect, useState } from "preact/hooks";
import { type Key, say } from "../parts/say";
import { Fit } from "./fit";
import { Head } from "./frame";

type Missing = "server" | "session" | "counts";

const heads: Record<Missing, Key> = { server: "wall.seeking", session: "wall.none", counts: "wall.opening" };
const patienceMs = 6_000;

/** Turns true after a while. */
function useLate(): boolean {
  const [late, set] = useState(false);
  useEffect(() => {
    const timer = setTimeout(() => set(true), patienceMs);
    return () => clearTimeout(timer);
  }, []);
  return late;
}

export function Waiting({ of, label, practice = false }: { of: Missing; label: string; practice?: boolean }): JSX.Element {
  const late = useLate();
  const lines: Key[] =
    of === "session" ? ["wall.none-1", "wall.none-2", "wall.none-3"] : of === "server" && late ? ["wall.server-1", "wall.server-2"] : [];
  const rows = (shown: readonly Key[]): JSX.Element => (
    <ol>
      {shown.map((key, i) => (
        <li key={key}>
          {of === "session" && <b>{i + 1}</b>}
          <span>{say(key)}</span>
        </li>
      ))}
    </ol>
  );
  return (
    <>
      <Head head={heads[of]} label={label} practice={practice} />
      <section class="w-wait">
        <svg viewBox="0 0 1840 240" aria-hidden="true">
          <path d="M0 196H1840V208H0Z" fill="currentColor" />
          <path
            d={Array.from({ length: 30 }, (_, i) => `M${20 + 61 * i} 60L${44 + 61 * i} 44V184H${20 + 61 * i}Z`).join("")}
            fill="none"
            stroke="currentColor"
            stroke-width="4"
            stroke-dasharray="10 8"
          />
        </svg>
        <Fit className="w-lines" of={lines.join(" ")} choices={lines.map((_, n) => () => rows(lines.slice(0, lines.length - n)))} />
      </section>
    </>
  );
}
