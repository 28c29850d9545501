// The day as a picture: what was placed by when, on it what lay in holding, on
// that what lay on the bench, under the budget; dashed, where that leads.
import type { JSX } from "preact";
import type { Curve, StationPace, View } from "../../bridge/protocol.gen";
import "./day-words";
import { clock, count, say } from "./say";
import { spent } from "./spent";

const hourMs = 3_600_000;
const leastMs = 2 * hourMs; // what the picture is wide for at least

/** A finish later than that after the opening is not today. */
export const longestDayMs = 20 * hourMs;

interface Size {
  wide: number; // units
  high: number;
}

/** Where in the picture a time and a number of grafts are, and what fits into it. */
interface Scale {
  x: (ms: number) => number;
  y: (n: number) => number;
  fromMs: number;
  untilMs: number;
}

/** The curves from the ground up, each on the one below; what is below zero takes no room. */
interface Stack {
  ms: number[];
  placed: number[];
  held: number[];
  bench: number[];
}

function stackOf({ fromMs, toMs, stepMs, bench, holding, placed }: Curve): Stack {
  const s: Stack = { ms: [fromMs], placed: [0], held: [0], bench: [0] };
  placed.forEach((p, i) => {
    const [base, held] = [Math.max(0, p), Math.max(0, holding[i] ?? 0)];
    s.ms.push(Math.min(fromMs + (i + 1) * stepMs, Math.max(toMs, fromMs)));
    s.placed.push(base);
    s.held.push(base + held);
    s.bench.push(base + held + Math.max(0, bench[i] ?? 0));
  });
  return s;
}

/** The finish of a station, if there is one today. */
function finishOf({ pace, session }: View, station: string): StationPace | undefined {
  const s = session.endedMs > 0 ? undefined : pace.stations.find((one) => one.station === station);
  return s?.finishKnown && !s.done && !s.paused && s.finishMs <= session.openedMs + longestDayMs ? s : undefined;
}

const room = 1.04; // over the budget, so that its line is seen

/** A forecast that moves by seconds, and a graft among thousands, move nothing that could be seen: such a picture is not painted again. */
const edgeMs = 5 * 60_000;
const whole = (units: number): number => Math.round(2 * units) / 2;

/** From the opening to now or the latest finish, and from nothing to the budget or what is there. */
function scaleOf(view: View, stack: Stack, finishes: readonly StationPace[], { wide, high }: Size): Scale {
  const fromMs = view.flow.curve.fromMs;
  const latest = finishes.map((s) => Math.min(s.latestMs || s.finishMs, s.finishMs + 2 * hourMs));
  const untilMs = Math.ceil(Math.max(fromMs + leastMs, stack.ms.at(-1) ?? 0, ...latest) / edgeMs) * edgeMs;
  const most = Math.max(1, view.headline.budgetKnown ? view.headline.budget : 0, ...stack.bench) * room;
  return {
    x: (ms) => whole((wide * (ms - fromMs)) / (untilMs - fromMs)),
    y: (n) => whole(high - (high * n) / most),
    fromMs,
    untilMs,
  };
}

const path = (points: readonly string[]): string => `M${points.join("L")}`;

interface FlowProps extends Size {
  view: View;
  id: string; // of this picture's texture, where a page has several
  atMs?: number; // a moment that is marked
}

/** The picture without words: they stand beside it, and a table for those who can not see it. */
export function FlowPicture({ view, id, wide, high, atMs = 0 }: FlowProps): JSX.Element | null {
  const { curve, pauses } = view.flow;
  if (curve.fromMs === 0) return null;
  const stack = stackOf(curve);
  const taking = spent(view) ? undefined : finishOf(view, "extraction");
  const placing = finishOf(view, "placing");
  const scale = scaleOf(
    view,
    stack,
    [taking, placing].filter((s) => s !== undefined),
    { wide, high },
  );
  const { x, y } = scale;
  const line = (of: readonly number[]): string[] => of.map((n, i) => `${x(stack.ms[i] ?? 0)} ${y(n)}`);
  const between = (above: readonly number[], below: readonly number[]): string => `${path([...line(above), ...line(below).reverse()])}Z`;
  const nowMs = stack.ms.at(-1) ?? 0;
  const budget = view.headline.budgetKnown ? view.headline.budget : 0;
  const leads = (s: StationPace | undefined, from: number, to: number): JSX.Element | null =>
    s && to > from ? (
      <>
        <path
          class="flow-wedge"
          d={`${path([`${x(nowMs)} ${y(from)}`, `${x(s.earliestMs)} ${y(to)}`, `${x(Math.min(s.latestMs || s.finishMs, scale.untilMs))} ${y(to)}`])}Z`}
        />
        <path class="flow-leads" d={path([`${x(nowMs)} ${y(from)}`, `${x(s.finishMs)} ${y(to)}`])} />
      </>
    ) : null;
  const hours = Array.from({ length: Math.floor((scale.untilMs - scale.fromMs) / hourMs) }, (_, i) => x(scale.fromMs + (i + 1) * hourMs));
  return (
    <svg class="flow" viewBox={`0 -6 ${wide} ${high + 18}`} preserveAspectRatio="none" aria-hidden="true">
      <defs>
        <pattern id={id} width="13" height="40" patternUnits="userSpaceOnUse">
          <path d="M4 0H9V40H4Z" class="flow-kept" />
        </pattern>
      </defs>
      {leads(taking, stack.bench.at(-1) ?? 0, budget)}
      {leads(placing, stack.placed.at(-1) ?? 0, budget)}
      <path class="flow-bench" d={between(stack.bench, stack.held)} />
      <path fill={`url(#${id})`} d={between(stack.held, stack.placed)} />
      <path
        class="flow-kept"
        d={between(
          stack.placed,
          stack.placed.map(() => 0),
        )}
      />
      <path class="flow-top" d={path(line(stack.bench))} />
      {budget > 0 ? <path class="flow-budget" d={`M0 ${y(budget)}H${wide}M0 ${y(budget) - 11}H${wide}`} /> : null}
      <path class="flow-ground" d={`M0 ${high}H${wide}${hours.map((at) => `M${at} ${high}V${high + 10}`).join("")}`} />
      {pauses.map((p) => (
        <path key={`${p.station} ${p.fromMs}`} class="flow-pause" d={`M${x(p.fromMs)} ${high + 5}H${x(Math.min(p.toMs, nowMs))}`} />
      ))}
      <path class="flow-now" d={`M${x(nowMs)} ${y(stack.bench.at(-1) ?? 0)}V${high}`} />
      {atMs > 0 ? <path class="flow-at" d={`M${x(Math.min(Math.max(atMs, scale.fromMs), scale.untilMs))} -6V${high + 12}`} /> : null}
    </svg>
  );
}

const tableMs = 30 * 60_000;

/** The same as rows, every half hour and now. */
export function FlowTable({ view }: { view: View }): JSX.Element | null {
  const { fromMs, toMs, stepMs, bench, holding, placed } = view.flow.curve;
  if (fromMs === 0) return null;
  const every = Math.max(1, Math.round(tableMs / stepMs));
  const last = placed.length - 1;
  const points = placed.map((_, i) => i).filter((i) => (i + 1) % every === 0 || i === last);
  return (
    <table>
      <caption>{say("day.title")}</caption>
      <thead>
        <tr>
          {(["day.time", "day.placed", "day.held", "day.bench"] as const).map((key) => (
            <th key={key} scope="col">
              {say(key)}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {points.map((i) => (
          <tr key={i}>
            <th scope="row">{clock(i === last ? toMs : fromMs + (i + 1) * stepMs)}</th>
            {[placed, holding, bench].map((of, k) => (
              <td key={["placed", "held", "bench"][k]}>{count(of[i] ?? 0)}</td>
            ))}
          </tr>
        ))}
      </tbody>
    </table>
  );
}
