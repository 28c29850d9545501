// Small drawings of the wall: phones and differences as strokes.
import type { JSX } from "preact";

const drawnAtMost = 12;
const apart = 22;

/** One stroke a phone: solid when it is heard, hollow and low when it is away. */
export function Strokes({ here, away }: { here: number; away: number }): JSX.Element {
  const hollow = Math.min(away, 6);
  const solid = Math.min(here, drawnAtMost - hollow);
  const width = apart * (solid + hollow);
  const strokes = Array.from({ length: solid }, (_, i) => `M${2 + apart * i} 10.05L${13 + apart * i} 4V62H${2 + apart * i}Z`).join("");
  const low = Array.from({ length: hollow }, (_, i) => {
    const x = 2 + apart * (solid + i);
    return `M${x} 40.05L${x + 11} 34V62H${x}Z`;
  }).join("");
  return (
    <svg class="w-strokes" viewBox={`0 0 ${width} 66`} aria-hidden="true">
      <path d={strokes} class="w-kept" />
      <path d={low} class="w-hollow" />
    </svg>
  );
}

/** Two rows of strokes on one rule, the second one short. */
export function Apart(): JSX.Element {
  return (
    <svg class="w-strokes" viewBox="0 0 84 66" aria-hidden="true">
      <path
        fill="currentColor"
        d="M0 30H84V36H0ZM4 6.95L13 2V26H4ZM21 6.95L30 2V26H21ZM38 6.95L47 2V26H38ZM55 6.95L64 2V26H55ZM4 46.95L13 42V66H4ZM21 46.95L30 42V66H21ZM38 46.95L47 42V66H38Z"
      />
      <path d="M55 46.95L64 42V66H55Z" fill="none" stroke="currentColor" stroke-width="2.4" />
    </svg>
  );
}
