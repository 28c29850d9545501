// The quiet line of a station: its pace, and what the sizes lead to.
import type { JSX } from "preact";
import type { Ask, Dish, Figure as FigureName, Mix, Station, View } from "../../bridge/protocol.gen";
import { duration, shortDuration } from "../parts/duration";
import { per } from "../parts/per";
import type { Room } from "../parts/room";
import { about, count, list, say } from "../parts/say";
import { Figure } from "../parts/where";
import { sizes, sizesWord } from "./dish";

const paceOf: Partial<Record<Station, FigureName>> = {
  extraction: "pace taking",
  sorting: "pace sorting",
  sites: "pace sites",
  placing: "pace placing",
};

/** How fast a station goes, and till when. */
export function PaceWords({ room, view, station }: { room: Room; view: View; station: Station }): JSX.Element | null {
  const p = view.pace.stations.find((one) => one.station === station);
  if (!p || p.state === "not begun") return null;
  if (p.paused) return <span>{say("line.paused")}</span>;
  if (p.state !== "running") return <span>{say(p.state === "still" ? "line.still" : "line.early")}</span>;
  return (
    <span>
      {say("line.pace")}{" "}
      <Figure room={room} of={paceOf[station] ?? ""}>
        {say("line.rate", { n: per(p.perHour10, 600) })}
      </Figure>
      {p.finishKnown && !p.done ? say("line.till", { time: about(p.finishMs) }) : ""}
    </span>
  );
}

/** Which sizes will be short, and whether splitting mends it. */
export function MixWords({ room, mix }: { room: Room; mix: Mix }): JSX.Element | null {
  if (!mix.known) return null;
  const short = sizes.filter((s) => (mix.over[s - 1] ?? 0) < 0);
  if (short.length === 0) return <span>{say("line.enough")}</span>;
  return (
    <span>
      {short.map((s, i) => (
        <span key={s}>
          {i > 0 ? ", " : ""}
          {sizesWord(s)}:{" "}
          <Figure room={room} of="mix" size={s}>
            {say("line.short", { n: Math.abs(mix.over[s - 1] ?? 0) })}
          </Figure>
        </span>
      ))}
      {short.includes(1) ? `; ${splitWords(mix)}` : ""}
    </span>
  );
}

/** How many grafts to split for the singles, of which sizes. */
function splitWords(mix: Mix): string {
  if (mix.splitsTotal === 0) return say("line.never");
  const of = sizes
    .filter((s) => (mix.splits[s - 1] ?? 0) > 0)
    .map((s) => say("line.of", { n: count(mix.splits[s - 1] ?? 0), size: sizesWord(s) }));
  return say(mix.covered ? "line.cover" : "line.part", { n: mix.splitsTotal, splits: list(of) });
}

/** How long the oldest graft is out, or lies in the dish that is taken from; past a limit in a word as well. */
export function OutWords({ room, view, dish }: { room: Room; view: View; dish?: Dish | undefined }): JSX.Element | null {
  const { timeOut: o } = view;
  const here = dish !== undefined && dish.sinceMs > 0;
  if (view.session.endedMs > 0 || (!here && o.waiting === 0)) return null;
  const level = here ? dish.held : o.oldest;
  const [before = "", after = ""] = say(here ? "outNow.held" : "outNow.oldest", { time: "\n" }).split("\n");
  return (
    <span class={level === "within" ? "" : "tight"}>
      {before}
      <Figure room={room} of={here ? "dish" : "oldest out"} at={here ? dish.ref : ""}>
        {duration(here ? dish.heldMin : o.oldestMin)}
      </Figure>
      {after}
      {level === "within" ? "" : `, ${say(`outNow.${level}`)}`}
    </span>
  );
}

/** The same in short, past a limit only, where a screen is too short for the line. */
export function OutShort({ view: { timeOut: o, session } }: { view: View }): JSX.Element | null {
  if (o.oldest === "within" || session.endedMs > 0) return null;
  return <span class="tight instead">{say("outNow.oldest", { time: shortDuration(o.oldestMin) })}</span>;
}

/** The ask to pause extraction, if there is one. */
export const asksToPause = (view: View): Ask | undefined => view.asks.find((a) => a.what === "pause, old" || a.what === "pause, ahead");

/** That the room asks to pause extraction, and why: calm, for it is the room's to decide. */
export function PauseWords({ room, view }: { room: Room; view: View }): JSX.Element | null {
  const ask = asksToPause(view);
  if (!ask) return null;
  const old = ask.what === "pause, old";
  return (
    <span class="tight">
      {say("outNow.pause")},{" "}
      <Figure room={room} of={old ? "oldest out" : "wait ahead"}>
        {say(old ? "outNow.pauseOld" : "outNow.pauseAhead", { time: duration(ask.have) })}
      </Figure>
    </span>
  );
}
