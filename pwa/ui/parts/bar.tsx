// A bar: solid = placed, strokes = held or open, outline = still to come. The
// same code everywhere, so that it survives greyscale.
import type { JSX } from "preact";
import { useId } from "preact/hooks";

/** Draws parts of a whole; what is beyond it is cut off. */
export function Bar({ all, solid, strokes }: { all: number; solid: number; strokes: number }): JSX.Element {
  const id = useId();
  const width = (n: number): number => (all > 0 ? Math.min(400, Math.max(0, (400 * n) / all)) : 0);
  return (
    <svg class="bar" viewBox="0 0 400 40" preserveAspectRatio="none" aria-hidden="true">
      <defs>
        <pattern id={id} width="10" height="40" patternUnits="userSpaceOnUse">
          <path d="M2 0H6V40H2Z" fill="var(--held)" />
        </pattern>
      </defs>
      <path class="f" d="M1 1H399V39H1Z" />
      <rect fill={`url(#${id})`} width={width(solid + strokes)} height="40" />
      <rect fill="var(--kept)" width={width(solid)} height="40" />
    </svg>
  );
}
