// Held to confirm: five hollow strokes fill while a finger or a key stays; letting
// go empties them.
import type { JSX } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";
import { say } from "./say";

const strokes = 5;
const stepMs = 200;

interface Hold {
  label: string;
  disabled?: boolean;
  onHeld: () => void;
}

export function HoldButton({ label, disabled = false, onHeld }: Hold): JSX.Element {
  const [filled, fill] = useState(0);
  const timer = useRef<ReturnType<typeof setInterval> | undefined>(undefined);
  const empty = (): void => {
    clearInterval(timer.current);
    timer.current = undefined;
    fill(0);
  };
  useEffect(() => empty, []);
  useEffect(() => {
    if (disabled) empty(); // what must not be confirmed any more is let go of
  }, [disabled]);
  const begin = (): void => {
    if (timer.current !== undefined || disabled) return;
    let n = 0;
    timer.current = setInterval(() => {
      fill(++n);
      if (n < strokes) return;
      empty();
      onHeld();
    }, stepMs);
  };
  const isKey = (e: KeyboardEvent): boolean => e.key === "Enter" || e.key === " ";
  return (
    <button
      type="button"
      class="o-hold"
      disabled={disabled}
      onPointerDown={begin}
      onPointerUp={empty}
      onPointerLeave={empty}
      onPointerCancel={empty}
      onBlur={empty}
      onContextMenu={(e) => e.preventDefault()}
      onKeyDown={(e) => {
        if (!isKey(e)) return;
        e.preventDefault();
        if (!e.repeat) begin();
      }}
      onKeyUp={(e) => isKey(e) && empty()}
    >
      <svg viewBox="0 0 280 60" preserveAspectRatio="xMinYMid meet" aria-hidden="true">
        {Array.from({ length: strokes }, (_, i) => (
          <path key={i} class={i < filled ? "o-full" : ""} d={`M${14 + 54 * i} 18.1L${36 + 54 * i} 6V54H${14 + 54 * i}Z`} />
        ))}
      </svg>
      <span>{filled > 0 ? say("page.keep-holding") : label}</span>
    </button>
  );
}
