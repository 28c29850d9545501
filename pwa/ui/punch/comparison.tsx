// What the arms of a trial gave, side by side: every share with its counts and
// its interval, and each difference to the first arm in plain words. Nothing is
// called better, and nothing is told without how uncertain it is.
import type { JSX } from "preact";
import { useEffect, useState } from "preact/hooks";
import type { Against, Comparison, Rate, Ref, SetupResult, Trial, View } from "../../bridge/protocol.gen";
import { points, pValue, share } from "../parts/per";
import type { Room } from "../parts/room";
import { count, say } from "../parts/say";
import { Figure } from "../parts/where";
import { armLetter } from "./arm";

const whole = 10_000; // parts of one

/** How long after the last change it is compared again: a row of taps costs one comparison. */
const calmMs = 300;

/** What the engine says of a trial, anew whenever its counts change. */
export function useCompared(room: Room, view: View, trial: Ref, full: boolean): Comparison | null {
  const [compared, setCompared] = useState<Comparison | null>(null);
  useEffect(() => {
    let over = false;
    const soon = setTimeout(() => void room.compare(trial, full).then((got) => !over && got && setCompared(got)), compared ? calmMs : 0);
    return () => {
      over = true;
      clearTimeout(soon);
    };
  }, [room, trial, full, view.session.events, view.setups]);
  return compared;
}

/** Where parts lie on a scale, in per cent of its length. */
const place = (n: number, from: number, to: number): string => `${Math.round((100_000 * (n - from)) / (to - from)) / 1000}%`;

/** The scale that holds all of them: to the next of a few round shares. */
const scaleOf = (parts: readonly number[]): number =>
  [500, 1000, 2000, 3000, 5000, 7500, whole].find((s) => parts.every((p) => p <= s)) ?? whole;

interface WhiskerProps {
  low: number;
  at: number;
  high: number;
  from: number;
  to: number;
}

/** An interval as a bar with an end at each side, and the value in it. */
function Whisker({ low, at, high, from, to }: WhiskerProps): JSX.Element {
  const x = (n: number): string => place(n, from, to);
  return (
    <svg class="whisker" height="24" aria-hidden="true">
      <line class="whisker-scale" x2="100%" y1="23" y2="23" />
      {from < 0 ? <line class="whisker-zero" x1={x(0)} x2={x(0)} y1="0" y2="24" /> : null}
      <line class="whisker-range" x1={x(low)} x2={x(high)} y1="11" y2="11" />
      <line class="whisker-end" x1={x(low)} x2={x(low)} y1="5" y2="17" />
      <line class="whisker-end" x1={x(high)} x2={x(high)} y1="5" y2="17" />
      <svg x={x(at)} width="1" aria-hidden="true">
        <rect class="whisker-at" x="-3.5" y="3" width="7" height="16" />
      </svg>
    </svg>
  );
}

/** One set-up's shares, what they are called, and the figure that they are to the engine. */
interface Shares {
  of: SetupResult;
  name: string;
  at: Ref; // the trial, or the set-up itself
  arm: number; // which arm of the trial it is, from 1; 0 for none
}

/** Set-ups on one scale. */
export function Arms({ room, of }: { room: Room; of: readonly Shares[] }): JSX.Element {
  const to = scaleOf(of.map((r) => r.of.notWhole.high));
  return (
    <div class="arms">
      <ul>
        {of.map((one) => (
          <Arm key={one.of.setup} room={room} of={one} to={to} />
        ))}
      </ul>
      <p class="arms-scale" aria-hidden="true">
        <span>{share(0)}</span>
        <span>{say("trial.scale")}</span>
        <span>{share(to)}</span>
      </p>
    </div>
  );
}

const ofWords = (s: Rate): string => say("trial.of", { x: s.n, n: s.of });

function Arm({ room, of, to }: { room: Room; of: Shares; to: number }): JSX.Element {
  const { notWhole: s, gtr, ptr } = of.of;
  return (
    <li class="arm">
      <p class="arm-head">
        <b>{of.name}</b>
        {s.known ? (
          <Figure room={room} of="not whole" at={of.at} size={of.arm} alone>
            {share(s.parts)}
          </Figure>
        ) : (
          <span class="quiet">{say("trial.nothingYet")}</span>
        )}
      </p>
      {s.known ? (
        <>
          <Whisker low={s.low} at={s.parts} high={s.high} from={0} to={to} />
          <p>{say("trial.notWhole", { of: ofWords(s), low: share(s.low), high: share(s.high) })}</p>
          <p class="quiet">{say("trial.kinds", { gtr: ofWords(gtr), ptr: ofWords(ptr) })}</p>
        </>
      ) : null}
    </li>
  );
}

/** All attempts by the set-up that was on, drawn by lot or not; nothing before there are some. */
export function SoFar({ room, view }: { room: Room; view: View }): JSX.Element | null {
  const compared = useCompared(room, view, "", false);
  if (!compared || compared.rows.length === 0) return null;
  return (
    <section class="apart-arms">
      <h3>{say("trial.all")}</h3>
      <Arms room={room} of={compared.rows.map((r) => ({ of: r, name: r.name, at: r.setup, arm: 0 }))} />
      <p class="quiet">{say("trial.allWhy")}</p>
    </section>
  );
}

/** An end of an interval in words: so many points fewer, none, or more. */
function end(parts: number): string {
  return parts === 0 ? say("trial.none") : say(parts < 0 ? "trial.fewer" : "trial.more", { n: points(parts) });
}

/** What a difference says, and what it does not. */
export function differenceWords(a: Against, arm: string, first: string): string {
  if (!a.known) return say("trial.notBoth", { arm, first });
  const range = { low: end(a.low), high: end(a.high) };
  if (a.low <= 0 && a.high >= 0) {
    const seen = a.diff === 0 ? say("trial.asMany", { arm, first }) : say("trial.seen", { arm, first, by: end(a.diff) });
    return `${say("trial.tooEarly")} ${seen} ${say("trial.rangeHolds", range)}`;
  }
  return `${say("trial.apart", { arm, first, by: end(a.diff) })} ${say("trial.rangeIs", range)} ${say("trial.thisPatient")}`;
}

/** Each arm after the first against the first. */
export function Differences({ room, trial, of }: { room: Room; trial: Trial; of: Comparison }): JSX.Element {
  const letter = (ref: Ref): string => armLetter(trial.arms.findIndex((a) => a.setup === ref));
  const to = scaleOf(of.against.flatMap((a) => [Math.abs(a.low), Math.abs(a.high)]));
  return (
    <section class="apart-arms">
      <h3>{say("trial.difference", { first: armLetter(0) })}</h3>
      <ul>
        {of.against.map((a) => (
          <li key={a.setup} class="arm">
            <p class="arm-head">
              <b>{say("trial.against", { arm: letter(a.setup), first: armLetter(0) })}</b>
              {a.known ? (
                <Figure room={room} of="trial" at={trial.ref} size={trial.arms.findIndex((one) => one.setup === a.setup) + 1} alone>
                  {say("trial.points", { n: `${a.diff < 0 ? "−" : a.diff > 0 ? "+" : ""}${points(a.diff)}` })}
                </Figure>
              ) : null}
            </p>
            {a.known ? (
              <>
                <Whisker low={a.low} at={a.diff} high={a.high} from={-to} to={to} />
                <p class="arms-scale" aria-hidden="true">
                  <span>{say("trial.fewerSide", { arm: letter(a.setup), n: points(to) })}</span>
                  <span>0</span>
                  <span>{say("trial.moreSide", { arm: letter(a.setup), n: points(to) })}</span>
                </p>
              </>
            ) : null}
            <p class={a.known && (a.low > 0 || a.high < 0) ? "" : "early"}>{differenceWords(a, letter(a.setup), armLetter(0))}</p>
            {a.full && a.known ? (
              <Office room={room} trial={trial} of={a} n={trial.arms.findIndex((one) => one.setup === a.setup)} />
            ) : null}
          </li>
        ))}
      </ul>
      {of.against.length > 1 ? <p class="quiet">{say("trial.several")}</p> : null}
      <p class="quiet">{say("trial.looking")}</p>
    </section>
  );
}

/** What only the office is told. */
function Office({ room, trial, of: a, n }: { room: Room; trial: Trial; of: Against; n: number }): JSX.Element {
  const from = (what: string): JSX.Element => (
    <Figure room={room} of="trial" at={trial.ref} size={n + 1} alone>
      {what}
    </Figure>
  );
  return (
    <dl class="setup-facts">
      <dt>{say("trial.fisher")}</dt>
      <dd>{from(a.fisherP <= 1 ? say("trial.fisherLeast") : pValue(a.fisherP))}</dd>
      <dt>{say("trial.posterior", { arm: armLetter(n) })}</dt>
      <dd>{from(share(a.worse))}</dd>
      <dt>{say("trial.toTell")}</dt>
      <dd>
        {from(!a.moreKnown ? say("trial.noNumber") : a.more === 0 ? say("trial.noMore") : say("trial.moreEach", { n: count(a.more) }))}
      </dd>
    </dl>
  );
}
