// Till when the stations have work, in two lines: taking and placing, and in the
// place of taking another station that holds the others up.
import type { JSX } from "preact";
import type { Pace, StationPace, View } from "../../bridge/protocol.gen";
import { about, type Key, say, type Under } from "../parts/say";
import { Fit } from "./fit";
import { Said } from "./said";

const longestMs = 20 * 3_600_000; // of a day: later than that after the opening is not today

/** The stations that the wall speaks of. */
function shown({ stations, bottleneck }: Pace): StationPace[] {
  const of = (name: string): StationPace | undefined => stations.find((s) => s.station === name);
  const slow = of(bottleneck);
  const first = slow && slow.station !== "placing" ? slow : of("extraction");
  return [first, of("placing")].filter((s): s is StationPace => s?.leftKnown === true && s.state !== "not begun");
}

/** What is said of a station that has no time: in this order it matters. */
function without(s: StationPace, openedMs: number): Key | null {
  if (s.done) return "wall.pace-done";
  if (s.paused) return "wall.pace-paused";
  if (s.state === "still") return "wall.pace-still";
  if (!s.finishKnown) return "wall.pace-early";
  return s.finishMs > openedMs + longestMs ? "wall.pace-late" : null;
}

/** The lines; null while no station has anything to say. */
export function Finish({ view }: { view: View }): JSX.Element | null {
  const { pace, session } = view;
  const lines = session.endedMs > 0 ? [] : shown(pace);
  if (lines.length === 0) return null;
  const silent = new Set(lines.map((s) => without(s, session.openedMs)));
  if (lines.length > 1 && silent.size === 1 && silent.has("wall.pace-paused")) return <p class="w-finish">{say("wall.pace-room")}</p>;
  if (silent.size === 1 && silent.has("wall.pace-early")) return <p class="w-finish quiet">{say("wall.pace-none")}</p>;
  const row = (s: StationPace, interval: boolean): JSX.Element => {
    const station = say(`wall.pace-${s.station}` as "wall.pace-extraction");
    const silent = without(s, session.openedMs);
    if (silent) return <p key={s.station}>{say(silent, { station })}</p>;
    const slow = s.station === pace.bottleneck;
    const time = interval ? `${about(s.earliestMs, "before")}–${about(s.latestMs, "after")}` : about(s.finishMs);
    return (
      <p key={s.station}>
        <Said of={`wall.${slow ? (interval ? "slow" : "slow-until") : "until"}-${s.station}` as Under<"wall.">} with={{ time }} />
      </p>
    );
  };
  const all = (interval: boolean) => (): JSX.Element => <>{lines.map((s) => row(s, interval))}</>;
  return (
    <Fit
      className="w-finish"
      of={lines.map((s) => `${s.station} ${without(s, session.openedMs)} ${s.station === pace.bottleneck}`).join("|")}
      choices={[all(true), all(false)]}
    />
  );
}
