// How fast each station goes, and till when.
import type { JSX } from "preact";
import type { Figure as FigureName, StationPace, View } from "../../bridge/protocol.gen";
import { per } from "../parts/per";
import type { Room } from "../parts/room";
import { clock, say, type Under } from "../parts/say";
import { Figure } from "../parts/where";
import { Fold } from "./fold";

const figures: Readonly<Record<string, FigureName>> = {
  extraction: "pace taking",
  sorting: "pace sorting",
  sites: "pace sites",
  placing: "pace placing",
};

const stationWord = (p: StationPace): string => say(`station.${p.station}` as Under<"station.">);

/** Till when, in words. */
function finish(p: StationPace): string {
  if (p.done) return say("pace.done");
  if (p.paused) return say("pace.paused");
  if (!p.finishKnown) return p.state === "running" ? say("pace.noEnd") : "";
  return say("pace.finish", { time: clock(p.finishMs), from: clock(p.earliestMs), to: clock(p.latestMs) });
}

/** The one line: who holds the others up, or till when it goes on. */
function summary(view: View): string {
  const { stations, bottleneck } = view.pace;
  if (bottleneck !== "") return say("pace.bottleneck", { station: say(`station.${bottleneck}` as Under<"station.">) });
  const first = stations.find((p) => p.finishKnown);
  if (first) return say("pace.till", { station: stationWord(first), time: clock(first.finishMs) });
  return stations.some((p) => p.state === "running") ? "" : say("pace.early");
}

export function Pace({ room, view }: { room: Room; view: View }): JSX.Element {
  return (
    <Fold title={say("pace.title")} says={summary(view)}>
      <ul class="paces">
        {view.pace.stations.map((p) => (
          <Row key={p.station} room={room} of={p} slowest={view.pace.bottleneck === p.station} />
        ))}
      </ul>
      <p class="quiet small">{say("pace.window")}</p>
    </Fold>
  );
}

function Row({ room, of: p, slowest }: { room: Room; of: StationPace; slowest: boolean }): JSX.Element {
  const running = p.state === "running";
  const notes = [
    slowest ? say("pace.slowest") : "",
    running && p.bulk > 0 ? say("pace.bulk") : "",
    p.compared ? say(`pace.verdict.${p.verdict}` as Under<"pace.verdict.">) : "",
  ].filter(Boolean);
  const end = finish(p);
  return (
    <li>
      <div class="head">
        <h3>{stationWord(p)}</h3>
        <Figure room={room} of={figures[p.station] ?? ""} alone>
          {running ? say("pace.hourly", { n: per(p.perHour10, 10) }) : say(`pace.state.${p.state}` as Under<"pace.state.">)}
        </Figure>
      </div>
      {running ? <p class="quiet">{say("pace.range", { low: per(p.low10, 10), high: per(p.high10, 10) })}</p> : null}
      {end ? <p>{end}</p> : null}
      {notes.length > 0 ? <p class="quiet">{notes.join(" ")}</p> : null}
    </li>
  );
}
