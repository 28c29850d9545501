// By when the stations are done, in one line: taking and placing, and in the
// place of taking another station that holds the others up. Which one does leaves
// first, then all but placing; the picture shows how sure it is. What a phone that
// is away has counted brings the end nearer, but for what it took back.
import type { JSX } from "preact";
import type { Phone, StationPace, View } from "../../bridge/protocol.gen";
import { longestDayMs } from "../parts/flow";
import { about, type Key, say, type Under } from "../parts/say";
import { spent } from "../parts/spent";
import { Fit } from "./fit";
import { Said } from "./said";

/** The phones that count what a station does: a dish is done at the desk, and its grafts are placed. */
const phonesOf = ({ station }: StationPace, { phones, dishes }: View): Phone[] =>
  phones.filter((p) => !p.left && (p.station === station || (station === "placing" && p.station === "desk" && dishes.length > 0)));

/** Whether a station may have counted more than was heard. */
const unheard = (s: StationPace, view: View): boolean => phonesOf(s, view).some((p) => p.away);

/** Whether nobody who counts what a station does is heard. */
function silenced(s: StationPace, view: View): boolean {
  const phones = phonesOf(s, view);
  return phones.length > 0 && phones.every((p) => p.away);
}

/** The slowest station, unless its pace may lack what a phone has counted. */
const slowest = (view: View): StationPace | undefined =>
  view.pace.stations.find((s) => s.station === view.pace.bottleneck && !unheard(s, view));

/** The stations that the wall speaks of: no taking where the donor allows no more. */
function shown(view: View): StationPace[] {
  const stations = view.pace.stations.filter((s) => s.station !== "extraction" || !spent(view));
  const of = (name: string | undefined): StationPace | undefined => stations.find((s) => s.station === name);
  const slow = of(slowest(view)?.station);
  const first = slow && slow.station !== "placing" ? slow : of("extraction");
  return [first, of("placing")].filter((s): s is StationPace => s?.leftKnown === true && s.state !== "not begun");
}

/** What is said of a station that has no time: in this order it matters. */
function without(s: StationPace, view: View): Key | null {
  if (s.done) return "wall.pace-done";
  if (s.paused) return "wall.pace-paused";
  if (s.state === "still") return silenced(s, view) ? "wall.pace-away" : "wall.pace-still";
  if (!s.finishKnown) return "wall.pace-early";
  return s.finishMs > view.session.openedMs + longestDayMs ? "wall.pace-late" : null;
}

/** The line; null while no station has anything to say. */
export function Finish({ view }: { view: View }): JSX.Element | null {
  const lines = view.session.endedMs > 0 ? [] : shown(view);
  if (lines.length === 0) return null;
  const silent = new Set(lines.map((s) => without(s, view)));
  if (lines.length > 1 && silent.size === 1 && silent.has("wall.pace-paused")) return <p class="w-finish">{say("wall.pace-room")}</p>;
  if (silent.size === 1 && silent.has("wall.pace-early")) return <p class="w-finish quiet">{say("wall.pace-none")}</p>;
  const one = (s: StationPace): JSX.Element => {
    const silent = without(s, view);
    return (
      <span key={s.station}>
        {silent ? (
          say(silent, { station: say(`wall.pace-${s.station}` as "wall.pace-extraction") })
        ) : (
          <Said of={`wall.${unheard(s, view) ? "sooner" : "by"}-${s.station}` as Under<"wall.by-">} with={{ time: about(s.finishMs) }} />
        )}
      </span>
    );
  };
  const slow = lines.find((s) => s.station === slowest(view)?.station && without(s, view) === null);
  const row = (of: readonly StationPace[], named: boolean) => (): JSX.Element => (
    <>
      {of.map(one)}
      {named && slow ? <span class="quiet">{say(`wall.slow-${slow.station}` as Under<"wall.slow-">)}</span> : null}
    </>
  );
  return (
    <Fit
      className="w-line w-finish"
      of={lines.map((s) => `${s.station} ${without(s, view) ?? about(s.finishMs)} ${unheard(s, view)} ${s === slow}`).join("|")}
      choices={[row(lines, true), row(lines, false), row(lines.slice(-1), true), row(lines.slice(-1), false)]}
    />
  );
}
