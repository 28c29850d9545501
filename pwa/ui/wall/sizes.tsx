// The sizes: what is still to sort of each, and whether what comes will do.
import type { JSX } from "preact";
import type { View } from "../../bridge/protocol.gen";
import { count, say, type Under } from "../parts/say";
import { SizeGlyph } from "../parts/strokes";
import { Fit } from "./fit";

/** Whether all that will be taken is out and sorted: what is missing of a size then is not to sort, it is short. */
const sortedOut = ({ headline: h, ledger: l }: View): boolean => h.budgetKnown && h.toTake === 0 && h.onTheWay === 0 && l.bench <= 0;

/** All that is shown of the sizes, for whoever draws it again only when that changes. */
export const shownOfSizes = (view: View): string =>
  JSON.stringify([
    sortedOut(view),
    view.ledger.toSort.map((n) => [n, n === 0]),
    view.mix.known && [view.mix.sorted, view.mix.need, view.mix.expected],
  ]);

/**
 * What is still to sort, by size, or short once nothing is left to sort. The words leave first, then sizes of which there is none, then
 * all; once nothing is left to sort, such sizes are not said at all.
 */
export function Sizes({ view }: { view: View }): JSX.Element | null {
  const { toSort } = view.ledger;
  const short = sortedOut(view);
  if (short && toSort.every((n) => n === 0)) return null;
  const row = (words: boolean, zeros: boolean): JSX.Element => (
    <ul>
      {words && <li class="quiet">{say(short ? "wall.short" : "wall.to-sort")}</li>}
      {toSort.map((n, i) =>
        n === 0 && !zeros ? null : (
          <li key={i}>
            <span class="w-have">
              <SizeGlyph size={i + 1} />
              {view.mix.known && <SizeBar view={view} at={i} />}
            </span>
            <SizeWords view={view} at={i} />
            <b>{count(n)}</b>
          </li>
        ),
      )}
    </ul>
  );
  return (
    <Fit
      className="w-sizes"
      of={shownOfSizes(view)}
      choices={[...(short ? [] : [() => row(true, true)]), () => row(true, false), () => row(false, false), () => null]}
    />
  );
}

/** The same for those who can not see the bar. */
function SizeWords({ view: { mix: m }, at: i }: { view: View; at: number }): JSX.Element {
  const size = say(`wall.hairs-${i + 1}` as Under<"wall.hairs-">);
  if (!m.known) return <span class="off">{size}</span>;
  return (
    <span class="off">{say("wall.size", { size, sorted: m.sorted[i] ?? 0, need: m.need[i] ?? 0, expected: m.expected[i] ?? 0 })}</span>
  );
}

const long = 100;
const high = 46;

/** Of what is needed: solid is sorted, strokes are expected, and what stays empty will be short. */
function SizeBar({ view: { mix: m }, at: i }: { view: View; at: number }): JSX.Element | null {
  const need = m.need[i] ?? 0;
  if (need <= 0) return null;
  const part = (n: number): number => long * Math.min(1, Math.max(0, n) / need);
  const sorted = part(m.sorted[i] ?? 0);
  const expected = part(m.expected[i] ?? 0);
  const id = `wall-size-${i}`;
  return (
    <svg class="w-size" viewBox={`0 0 ${long} ${high}`} aria-hidden="true">
      <defs>
        <pattern id={id} width="13" height="46" patternUnits="userSpaceOnUse">
          <path d="M4 0H9V46H4Z" class="w-kept" />
        </pattern>
      </defs>
      <path class="w-empty" d={`M1.5 1.5H${long - 1.5}V${high - 1.5}H1.5Z`} />
      {expected > sorted && <path fill={`url(#${id})`} d={`M${sorted} 0H${expected}V${high}H${sorted}Z`} />}
      {sorted > 0 && <path class="w-kept" d={`M0 0H${sorted}V${high}H0Z`} />}
    </svg>
  );
}
