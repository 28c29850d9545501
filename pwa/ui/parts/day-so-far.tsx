// The day so far: the room at any minute, as it was known then and as it is known
// now about then. The two differ where a phone was out of reach.
import "./day-words";
import type { JSX } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";
import type { Fault, Then } from "../../bridge/messages";
import type { View } from "../../bridge/protocol.gen";
import { FlowPicture, FlowTable } from "./flow";
import { clock, count, type Key, say, sayFault } from "./say";
import { Glyph } from "./strokes";

export type AskThen = (atMs: number) => Promise<Then | Fault>;

const minuteMs = 60_000;
const restMs = 250; // of the finger, before the room is asked

/** The figures that are compared, by what the room calls them. */
const figures: readonly [Key, (view: View) => number | null][] = [
  ["day.take", (v) => (v.headline.budgetKnown ? v.headline.toTake : null)],
  ["day.attempts", (v) => v.ledger.attempts.punched],
  ["day.out", (v) => v.ledger.out],
  ["day.sorted", (v) => v.ledger.kept],
  ["day.bench", (v) => v.ledger.bench],
  ["day.held", (v) => v.ledger.holdingTotal],
  ["day.placed", (v) => v.ledger.placedTotal],
  ["day.apart", (v) => v.differences.filter((d) => d.open).length],
];

interface DayProps {
  view: View;
  ask: AskThen;
  id: string; // of the picture's texture
}

/** Nothing before the session is opened. */
export function DaySoFar({ view, ask, id }: DayProps): JSX.Element | null {
  const { fromMs, toMs } = view.flow.curve;
  const [atMs, setAt] = useState(0); // 0 until a minute is chosen
  const [got, set] = useState<Then | Fault | null>(null);
  const asked = useRef(0);
  useEffect(() => {
    if (atMs === 0) return;
    const timer = setTimeout(() => {
      const mine = ++asked.current;
      set(null);
      void ask(atMs).then((answer) => mine === asked.current && set(answer));
    }, restMs);
    return () => clearTimeout(timer);
  }, [atMs]);
  if (fromMs === 0) return null;
  const shown = atMs || toMs;
  return (
    <div class="day-so-far">
      <FlowPicture view={view} id={id} wide={944} high={220} atMs={shown} />
      <div class="off">
        <FlowTable view={view} />
      </div>
      <label class="field">
        <span>
          {say("day.at")} <b>{clock(shown)}</b>
        </span>
        <input
          type="range"
          min={Math.ceil(fromMs / minuteMs)}
          max={Math.floor(toMs / minuteMs)}
          value={Math.floor(shown / minuteMs)}
          aria-valuetext={clock(shown)}
          onInput={(e) => setAt(Number(e.currentTarget.value) * minuteMs)}
        />
      </label>
      <div aria-live="polite">
        {atMs === 0 ? <p class="quiet">{say("day.choose")}</p> : null}
        {atMs > 0 && got === null ? <p class="quiet">{say("day.asking")}</p> : null}
        {got && "code" in got ? <p class="wrong">{sayFault(got)}</p> : null}
        {got && "atMs" in got ? <Compared of={got} /> : null}
      </div>
    </div>
  );
}

function Compared({ of: { atMs, known, knew, now, late } }: { of: Then }): JSX.Element {
  const rows = figures.map(([key, read]) => ({ key, was: known ? read(knew) : null, is: read(now) }));
  const apart = rows.some((r) => known && r.was !== r.is);
  const write = (n: number | null): string => (n === null ? "–" : count(n));
  return (
    <>
      <table class="close">
        <caption class="off">{say("day.title")}</caption>
        <thead>
          <tr>
            <th scope="col">{clock(atMs)}</th>
            <th scope="col">{say("day.then")}</th>
            <th scope="col">{say("day.now")}</th>
          </tr>
        </thead>
        <tbody>
          {rows.map((r) => (
            <tr key={r.key}>
              <th scope="row">{say(r.key)}</th>
              <td>{write(r.was)}</td>
              <td class={known && r.was !== r.is ? "came-late" : ""}>{write(r.is)}</td>
            </tr>
          ))}
        </tbody>
      </table>
      {known ? null : <p class="quiet">{say("day.unknown")}</p>}
      {known && !apart && late.length === 0 ? <p class="quiet">{say("day.same")}</p> : null}
      {late.length > 0 ? (
        <ul class="late-list">
          {late.map((l) => (
            <li key={`${l.person} ${l.station}`}>
              <Glyph of="here" />
              <span>
                {say("day.late", {
                  n: l.entries,
                  person: l.person || say("day.nobody"),
                  station: say(`station.${l.station || "office"}` as "station.lead"),
                  time: clock(l.cameMs),
                })}
              </span>
            </li>
          ))}
        </ul>
      ) : null}
      {known && apart && late.length === 0 ? <p class="quiet">{say("day.dated")}</p> : null}
    </>
  );
}
