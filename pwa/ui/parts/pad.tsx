// A pad counts when it is touched, once for every finger, and answers in the
// same frame. Keys count too, but never by repeating.
import type { ComponentChildren, JSX } from "preact";
import { useRef, useState } from "preact/hooks";

interface PadProps {
  className?: "pad" | "pad2";
  label?: string;
  onCount: () => void;
  children: ComponentChildren;
}

/** One pad: the big one, or with className "pad2" a smaller one. */
export function Pad({ className = "pad", label, onCount, children }: PadProps): JSX.Element {
  const fingers = useRef(new Set<number>());
  const [down, setDown] = useState(false);
  const press = (e: PointerEvent): void => {
    if (e.button !== 0 || fingers.current.has(e.pointerId)) return;
    fingers.current.add(e.pointerId);
    setDown(true);
    navigator.vibrate?.(10);
    onCount();
  };
  const lift = (e: PointerEvent): void => {
    fingers.current.delete(e.pointerId);
    setDown(fingers.current.size > 0);
  };
  const keyDown = (e: KeyboardEvent): void => {
    if (e.repeat || (e.key !== "Enter" && e.key !== " ")) return;
    e.preventDefault();
    setDown(true);
    onCount();
  };
  return (
    <button
      type="button"
      class={down ? `${className} down` : className}
      onPointerDown={press}
      onPointerUp={lift}
      onPointerCancel={lift}
      onPointerLeave={lift}
      onKeyDown={keyDown}
      onKeyUp={() => setDown(false)}
      onContextMenu={(e) => e.preventDefault()}
    >
      {label ? <span class="off">{label}</span> : null}
      {children}
    </button>
  );
}
