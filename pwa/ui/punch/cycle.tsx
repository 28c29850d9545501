// One attempt of a punch set-up as a picture to scale: across, the milliseconds
// of the wait and of each step; up, the power. A motion is told by its texture,
// by its number and by its word beside the picture, never by a colour.
import type { JSX } from "preact";
import { useId } from "preact/hooks";
import type { Derived, Motion, Step } from "../../bridge/protocol.gen";
import { count, say } from "../parts/say";

const high = 84; // px of full power
const top = 24; // px above it, for the numbers of steps
const floor = top + high;

/** Where ms lie across a picture of some length. */
const across = (ms: number, full: number): string => `${Math.round((100_000 * ms) / full) / 1000}%`;

const intervals = [5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10_000];

/** How far apart the marks of the axis are: at most six, each a round number. */
const apartIn = (ms: number): number => intervals.find((i) => ms / i <= 6) ?? ms;

/** How long a picture is that holds attempts of these ms: to the next mark. */
export function fullOf(cycles: readonly number[]): number {
  const longest = Math.max(1, ...cycles);
  const apart = apartIn(longest);
  return apart * Math.ceil(longest / apart);
}

const marksOf = (full: number): number[] => Array.from({ length: Math.floor(full / apartIn(full)) + 1 }, (_, i) => i * apartIn(full));

/** The textures: turning one way, to and fro, trembling. */
const textures: Readonly<Record<Exclude<Motion, "">, { size: [number, number]; d: string }>> = {
  rotation: { size: [9, 12], d: "M-2 14.67L11 -2.67" },
  oscillation: { size: [12, 12], d: "M-1 11L6 2L13 11" },
  vibration: { size: [6, 8], d: "M1.5 1V4M4.5 5V8" },
};

/** The textures of one picture, under names of its own. */
function Textures({ id }: { id: string }): JSX.Element {
  return (
    <defs>
      {(Object.keys(textures) as Exclude<Motion, "">[]).map((m) => {
        const { size, d } = textures[m];
        return (
          <pattern key={m} id={`${id}${m}`} width={size[0]} height={size[1]} patternUnits="userSpaceOnUse">
            <path d={d} fill="none" stroke="currentColor" stroke-width="1.8" />
          </pattern>
        );
      })}
    </defs>
  );
}

/** The picture, as long as the attempt, or as fullMs so that several compare. Its words stand beside it, so it says nothing to a screen reader. */
export function Cycle({ of, fullMs, small = false }: { of: Derived; fullMs?: number; small?: boolean }): JSX.Element {
  const id = useId();
  const full = fullMs ?? fullOf([of.cycleMs]);
  const wait = of.steps[0]?.startMs ?? 0;
  if (small) return <Small of={of} full={full} id={id} />;
  return (
    <div class="cycle" aria-hidden="true">
      <p class="cycle-power">
        <span>{say("punch.full")}</span>
        <span>{say("punch.half")}</span>
        <span>{say("punch.none-power")}</span>
      </p>
      <svg height={floor + 46} aria-hidden="true">
        <Textures id={id} />
        <line class="cycle-grid" x2="100%" y1={top} y2={top} />
        <line class="cycle-grid" x2="100%" y1={top + high / 2} y2={top + high / 2} />
        {wait > 0 ? <rect class="cycle-wait" x="0" width={across(wait, full)} y={floor - 8} height="8" /> : null}
        {of.steps.map((s, i) => (
          <Block key={i} of={s} n={i + 1} full={full} texture={`url(#${id}${s.motion})`} />
        ))}
        <line class="cycle-floor" x2="100%" y1={floor} y2={floor} />
        <svg x={across(of.cycleMs, full)} y={top - 10} width="1" height={high + 16} aria-hidden="true">
          <path class="cycle-end" d={`M0 0V${high + 16}M4 0V${high + 16}`} />
        </svg>
        {marksOf(full).map((ms) => (
          <g key={ms}>
            <rect class="cycle-tick" x={across(ms, full)} y={floor} width="1" height="6" />
            <text class="cycle-ms" x={across(ms, full)} y={floor + 20} text-anchor={ms === 0 ? "start" : ms === full ? "end" : "middle"}>
              {ms === full ? say("punch.ms", { n: count(ms) }) : count(ms)}
            </text>
          </g>
        ))}
        <Usual of={of} full={full} />
      </svg>
    </div>
  );
}

/** The blocks alone, for a line of a list. */
function Small({ of, full, id }: { of: Derived; full: number; id: string }): JSX.Element {
  return (
    <svg class="cycle-small" height="24" aria-hidden="true">
      <Textures id={id} />
      {of.steps.map((s, i) => {
        const tall = 4 + (20 * (s.powerPercent || 100)) / 100;
        const place = { x: across(s.startMs, full), width: across(s.ms, full), y: 24 - tall, height: tall };
        return (
          <g key={i}>
            <rect {...place} fill={`url(#${id}${s.motion})`} />
            <rect class="cycle-edge" {...place} />
          </g>
        );
      })}
      <line class="cycle-floor" x2={across(of.cycleMs, full)} y1="24" y2="24" />
    </svg>
  );
}

/** One step: as wide as it lasts, as high as its power; of one without a power the top is open. */
function Block({ of: s, n, full, texture }: { of: Step; n: number; full: number; texture: string }): JSX.Element {
  const tall = s.powerPercent > 0 ? (high * s.powerPercent) / 100 : high;
  const place = { x: across(s.startMs, full), width: across(s.ms, full), y: floor - tall, height: tall };
  return (
    <g>
      <rect class="cycle-ground" {...place} />
      <rect {...place} fill={texture} />
      <rect class={s.powerPercent > 0 ? "cycle-edge" : "cycle-edge cycle-open"} {...place} />
      <text x={across(s.startMs + s.ms / 2, full)} y={floor - tall - 6} text-anchor="middle">
        {count(n)}
      </text>
    </g>
  );
}

/** Where a whole attempt usually ends, under the axis, where the picture is long enough. */
function Usual({ of, full }: { of: Derived; full: number }): JSX.Element | null {
  if (of.commonHighMs > full) return null;
  const y = floor + 30;
  return (
    <g>
      <rect class="cycle-usual" x={across(of.commonLowMs, full)} width={across(of.commonHighMs - of.commonLowMs, full)} y={y} height="5" />
      <text class="cycle-ms" x={across(of.commonLowMs, full)} dx="-6" y={y + 8} text-anchor="end">
        {say("punch.usual")}
      </text>
    </g>
  );
}

/** A motion's texture beside its word. */
export function MotionGlyph({ of }: { of: Motion }): JSX.Element {
  const id = useId();
  return (
    <svg class="motion" width="30" height="24" aria-hidden="true">
      <Textures id={id} />
      <rect class="cycle-ground" width="30" height="24" />
      <rect width="30" height="24" fill={`url(#${id}${of})`} />
      <rect class="cycle-edge" width="30" height="24" />
    </svg>
  );
}
