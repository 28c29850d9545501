// Two tallies back to back on one rule; where one is short its strokes are hollow.
import type { JSX } from "preact";

const most = 26; // strokes that are drawn; of more, the last
const step = 15;

/** Draws two tallies, when what lies between them can be seen in so few strokes. */
export function TwoRows({ above, below }: { above: number; below: number }): JSX.Element | null {
  const apart = Math.abs(above - below);
  const drawn = Math.min(most, Math.max(above, below));
  if (apart > most || Math.min(above, below) < 0 || drawn === 0) return null;
  const hollow = (i: number, short: boolean): string => (short && i >= drawn - apart ? "gap" : "");
  const strokes = Array.from({ length: drawn }, (_, i) => {
    const x = (most - drawn + i) * step + 4;
    return (
      <g key={i}>
        <path class={hollow(i, above < below)} d={`M${x} 3.5L${x + 6} 1V19H${x}Z`} />
        <path class={hollow(i, below < above)} d={`M${x} 27.5L${x + 6} 25V43H${x}Z`} />
      </g>
    );
  });
  return (
    <svg class="two-rows" viewBox="0 0 392 44" preserveAspectRatio="xMaxYMid meet" aria-hidden="true">
      <path d={`M${(most - drawn) * step} 21.2H392V23.2H${(most - drawn) * step}Z`} />
      {strokes}
    </svg>
  );
}
