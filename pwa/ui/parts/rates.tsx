// Rates as screens write them: how many of how many, the share, and its interval;
// and what a setting of the watch leads to.
import "./quality-words";
import type { JSX } from "preact";
import { useEffect, useState } from "preact/hooks";
import type { Chances } from "../../bridge/messages";
import type { Fact, Figure as FigureName, QualityRow, Rate, Rates } from "../../bridge/protocol.gen";
import { per } from "./per";
import type { Room } from "./room";
import { count, say, sayFault } from "./say";
import { decimalsOf, readDecimal, writeDecimal } from "./units";
import { Figure } from "./where";

export type RateName = keyof Rates;

export const rateNames: readonly RateName[] = ["total", "partial", "topped", "buried", "empty", "follicles"];

/** The figure that says where a rate comes from. */
export const figureOfRate = (name: RateName): FigureName => name;

/** What a row is about. */
export function rowName(row: QualityRow): string {
  switch (row.by) {
    case "all":
      return say("quality.all");
    case "pass":
      return say("quality.pass", { n: row.number });
    case "region":
      return row.name || say("quality.noRegion");
    case "operator":
      return row.name || say("quality.nobody");
    default:
      return row.name;
  }
}

/** Whether the engine can say where a row's figures come from: not of a person, a set-up, or what names no region. */
export const comesFrom = (row: QualityRow): boolean => row.by === "all" || row.by === "pass" || (row.by === "region" && row.at !== "");

/** "2.4 %" */
export const shareWords = (r: Rate): string => (r.known ? per(r.parts, 10_000) : say("quality.unknown"));

/** "1.38 % to 4.15 %" */
export const rangeWords = (r: Rate): string =>
  r.known ? say("quality.range", { low: per(r.low, 10_000), high: per(r.high, 10_000) }) : "";

interface CountedProps {
  room: Room;
  row: QualityRow;
  name: RateName;
  alone?: boolean; // a finger must hit it
}

/** How many of how many, as a figure that says where it comes from where that is known. */
export function Counted({ room, row, name, alone = false }: CountedProps): JSX.Element {
  const rate = row.rates[name];
  const words = say("quality.of", { n: rate.n, of: rate.of });
  if (!comesFrom(row) || name === "buried") return <bdi>{words}</bdi>;
  return (
    <Figure room={room} of={figureOfRate(name)} at={row.at} alone={alone}>
      {words}
    </Figure>
  );
}

/** What a person typed of a setting: shares in per cent, the limit with two decimals. */
export interface Typed {
  usual: string;
  notice: string;
  limit: string;
}

/** A standing setting, as it is typed. */
export const typedOf = (q: { p0Parts: number; p1Parts: number; h100: number }): Typed => ({
  usual: writeDecimal(q.p0Parts, decimalsOf.watch),
  notice: writeDecimal(q.p1Parts, decimalsOf.watch),
  limit: writeDecimal(q.h100, decimalsOf.watch),
});

/** The fact of what was typed; null while a number is none. */
export function watchOf(t: Typed): Extract<Fact, { kind: "watch" }> | null {
  const [p0Parts, p1Parts, h100] = [t.usual, t.notice, t.limit].map((s) => readDecimal(s, decimalsOf.watch));
  return p0Parts == null || p1Parts == null || h100 == null ? null : { kind: "watch", p0Parts, p1Parts, h100 };
}

const pauseMs = 250; // typing pauses before the engine is asked

/** What a setting leads to, while it is being chosen. */
export function ChancesWords({ room, typed }: { room: Room; typed: Typed }): JSX.Element {
  const [told, setTold] = useState<{ chances: Chances | null; wrong: string } | null>(null);
  useEffect(() => {
    const fact = watchOf(typed);
    let over = false;
    const soon = setTimeout(() => {
      if (!fact) return setTold({ chances: null, wrong: say("quality.watchWrong") });
      void room
        .chances(fact)
        .then((got) => !over && setTold({ chances: got?.chances ?? null, wrong: got?.fault ? sayFault(got.fault) : "" }));
    }, pauseMs);
    return () => {
      over = true;
      clearTimeout(soon);
    };
  }, [room, typed.usual, typed.notice, typed.limit]);
  const c = told?.chances;
  if (!c) return <p class={told?.wrong ? "wrong" : "quiet"}>{told?.wrong || say("quality.working")}</p>;
  const many = 1_000_000_000; // stands for more than can be told
  const attempts = (n: number): string => (n < many ? count(n) : say("quality.manyMore"));
  return (
    <div role="status">
      <p>
        <b>{say("quality.false", { share: per(c.falseParts, 10_000), n: c.attempts })}</b> {c.planned ? "" : say("quality.unplanned")}
      </p>
      <p>{say("quality.falseEvery", { n: attempts(c.falseEvery) })}</p>
      <p>{say("quality.noticed", { n: attempts(c.noticedIn), share: per(c.noticeParts, 10_000) })}</p>
    </div>
  );
}

/** A rate by its name. */
export const rateWord = (name: RateName): string => say(`quality.${name}` as "quality.total");
