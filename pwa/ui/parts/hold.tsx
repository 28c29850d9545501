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

/** How long after a finger is lifted its click may still come. */
const clickMs = 100;

/** The finger or key that held ends here: its click or repeats must not reach what lies under a sheet that closes. */
function endHere(pointer: number | undefined): void {
  const over = new AbortController();
  const until = { capture: true, signal: over.signal };
  const stop = (e: Event): void => {
    e.stopPropagation();
    e.preventDefault();
  };
  addEventListener("click", (e) => ((e as Partial<PointerEvent>).pointerId ?? pointer) === pointer && stop(e), until);
  addEventListener("keydown", (e) => e.repeat && stop(e), until);
  for (const lifted of ["pointerup", "pointercancel", "keyup"])
    addEventListener(lifted, () => setTimeout(() => over.abort(), clickMs), until);
}

export function HoldButton({ label, disabled = false, onHeld }: Hold): JSX.Element {
  const [filled, fill] = useState(0);
  const [asked, ask] = useState(false); // whoever can not hold, as a screen reader, presses twice
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
  const begin = (pointer?: number): void => {
    if (timer.current !== undefined || disabled) return;
    let n = 0;
    timer.current = setInterval(() => {
      fill(++n);
      if (n < strokes) return;
      empty();
      endHere(pointer);
      onHeld();
    }, stepMs);
  };
  const isKey = (e: KeyboardEvent): boolean => e.key === "Enter" || e.key === " ";
  return (
    <button
      type="button"
      class="o-hold"
      disabled={disabled}
      onPointerDown={(e) => begin(e.pointerId)}
      onPointerUp={empty}
      onPointerLeave={empty}
      onPointerCancel={empty}
      onBlur={empty}
      onContextMenu={(e) => e.preventDefault()}
      onClick={(e) => {
        if (e.detail > 0) return;
        ask(!asked);
        if (asked) onHeld();
      }}
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
      <span>{asked ? say("page.press-again") : filled > 0 ? say("page.keep-holding") : label}</span>
    </button>
  );
}
