// The times out of the body, in rows: what it is, the time, and what stands beside.
import "./lead-words";
import type { Figure, Level, View } from "../../bridge/protocol.gen";
import { duration } from "./duration";
import { clock, say, type Under } from "./say";

export interface Row {
  of: Exclude<Figure, "">;
  name: string;
  time: string;
  note: string;
  level: Level;
}

const minuteMs = 60_000;
const inMinutes = (ms: number): string => duration(Math.round(ms / minuteMs));

/** What can be told; empty while nothing can. */
export function rowsOf({ timeOut: o }: View): Row[] {
  const rows: (Row | false)[] = [
    o.waiting > 0 && {
      of: "oldest out",
      name: say("out.oldest"),
      time: duration(o.oldestMin),
      note: say("out.since", { time: clock(o.oldestMs) }),
      level: o.oldest,
    },
    told(o.basis) && {
      of: "wait ahead",
      name: say("out.ahead"),
      time: duration(o.forecastMin),
      note: say(`out.${o.basis}` as "out.planned" | "out.measured", { n: o.ahead }),
      level: o.forecast,
    },
    o.meanKnown && {
      of: "time out",
      name: say("out.mean"),
      time: inMinutes(o.meanMs),
      note: say("out.leftPlus", { came: o.came, n: o.left }),
      level: "within",
    },
    o.meanKnown && { of: "longest out", name: say("out.longest"), time: inMinutes(o.longestMs), note: "", level: "within" },
    o.waiting > 0 && {
      of: "time out",
      name: say("out.waiting"),
      time: say("out.waitingIs", { n: o.waiting, time: duration(o.waitedMin) }),
      note: "",
      level: "within",
    },
  ];
  return rows.filter((r) => r !== false);
}

const told = (basis: string): boolean => basis === "planned" || basis === "measured";

/** What has to be said beside the rows. */
export function notesOf({ timeOut: o }: View): string[] {
  if (!o.known) return [say("out.unknown")];
  return [
    o.left > o.came || o.left < 0 ? say("out.noMean") : o.came === 0 ? say("out.none") : "",
    !told(o.basis) && o.waiting > 0 ? say(`out.${o.basis}` as "out.unknown") : "",
    o.opening > 0 ? say("out.opening", { n: o.opening }) : "",
    o.came > 0 ? say("out.fifo") : "",
  ].filter(Boolean);
}

/** The word for a limit that is passed, or would be; "" within. */
export const levelWord = ({ of, level }: Row): string =>
  level === "within" ? "" : say(`out.${of === "wait ahead" ? "would" : "level"}.${level}` as Under<"out.level." | "out.would.">);
