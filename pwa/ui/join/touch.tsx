// Where to touch on a phone: our own drawings of no phone in particular.
import type { JSX } from "preact";

export type Place = "foot" | "top" | "list" | "home";

const rows = [30, 45, 60, 75] as const;
const columns = [18, 36, 54] as const;

/** A ring around the place that is touched. */
const Ring = ({ x, y }: { x: number; y: number }): JSX.Element => (
  <>
    <circle cx={x} cy={y} r="9" class="ring" />
    <circle cx={x} cy={y} r="3" class="full" />
  </>
);

const insides: Record<Place, () => JSX.Element> = {
  foot: () => (
    <>
      <path d="M8 76H64M18 20H54M18 30H54M18 40H42" />
      <Ring x={36} y={86} />
    </>
  ),
  top: () => (
    <>
      <path d="M8 20H64M18 34H54M18 44H54M18 54H42" />
      <Ring x={54} y={11} />
    </>
  ),
  list: () => (
    <>
      <path d="M14 24H58M14 39H58M14 73H58M14 88H58" />
      <path class="full" d="M12 46H60V66H12Z" />
      <path class="cut" d="M46 56H56M51 51V61M17 56H38" />
    </>
  ),
  home: () => (
    <>
      {rows.flatMap((y) =>
        columns.map((x) => (x === 36 && y === 60 ? null : <path key={`${x} ${y}`} d={`M${x - 5} ${y - 5}h10v10h-10z`} />)),
      )}
      <path class="full" d="M28 52H44V68H28Z" />
      <path class="cut" d="M36 55V63M32 63H40" />
    </>
  ),
};

/** A phone with the place to touch. */
export function Touch({ at }: { at: Place }): JSX.Element {
  const Inside = insides[at];
  return (
    <svg class="touch" viewBox="0 0 72 96" aria-hidden="true">
      <path d="M8 2H64V94H8Z" />
      <Inside />
    </svg>
  );
}
