// The limits of the time out of the body and how grafts are kept: what a person
// types, and the fact that it makes.
import "./lead-words";
import type { Fact, TimeOut, View } from "../../bridge/protocol.gen";
import { duration, readHours, writeHours } from "./duration";
import { clock, type Key, say } from "./say";
import { readDecimal, writeDecimal } from "./units";

export type Field = "amber" | "red" | "start" | "rate" | "solution" | "temperature";
export type Typed = Record<Field, string>;

/** The fields in their order. */
export const fields: readonly Field[] = ["amber", "red", "start", "rate", "solution", "temperature"];

/** Which field a fault of the engine is about. */
export const owners: Readonly<Record<string, Field>> = {
  "keeping-limits": "amber",
  "keeping-range": "red",
  "keeping-start": "start",
  "planned start of placing": "start",
  "planned rate of placing": "rate",
  solution: "solution",
  "keeping-temperature": "temperature",
  temperature: "temperature",
};

const signedTenths = (n: number): string => (n < 0 ? `-${writeDecimal(Math.abs(n), 1)}` : writeDecimal(n, 1));

/** What counts now, as it stands in the fields. */
export function typedOf({ timeOut: o }: View): Typed {
  return {
    amber: writeHours(o.amberMin),
    red: writeHours(o.redMin),
    start: o.placingMs > 0 ? clock(o.placingMs) : "",
    rate: o.perHour10 > 0 ? writeDecimal(o.perHour10, 1) : "",
    solution: o.solution,
    temperature: o.temperatureKnown ? signedTenths(o.temperature10) : "",
  };
}

const dayMs = 24 * 3_600_000;
const beforeMs = 6 * 3_600_000; // a start that long before the opening is one of the next day

/** A time of day at or after the opening's; null for none, 0 for an empty field. */
function readStart(text: string, openedMs: number): number | null {
  if (text.trim() === "") return 0;
  const found = /^([01]?\d|2[0-3])[:.]([0-5]\d)$/.exec(text.trim());
  if (!found) return null;
  const ms = new Date(openedMs).setHours(Number(found[1]), Number(found[2]), 0, 0);
  return ms < openedMs - beforeMs ? ms + dayMs : ms;
}

/** Tenths, below zero as well; null for what is no number. */
function readSignedTenths(text: string): number | null {
  const below = /^[-−]/.test(text);
  const n = readDecimal(below ? text.slice(1) : text, 1);
  return n === null ? null : below ? -n : n;
}

/** The fact, or what is wrong with which field. */
export function keepingOf(typed: Typed, view: View): { fact: Fact } | { wrong: Partial<Typed> } {
  const amberMin = readHours(typed.amber);
  const redMin = readHours(typed.red);
  const placingMs = readStart(typed.start, view.session.openedMs);
  const perHour10 = typed.rate.trim() === "" ? 0 : readDecimal(typed.rate, 1);
  const temperatureKnown = typed.temperature.trim() !== "";
  const temperature10 = temperatureKnown ? readSignedTenths(typed.temperature.trim()) : 0;
  const said = (key: Key, bad: boolean, field: Field): Partial<Typed> => (bad ? { [field]: say(key) } : {});
  const wrong = {
    ...said("out.wrongHours", amberMin === null, "amber"),
    ...said("out.wrongHours", redMin === null, "red"),
    ...said("out.wrongStart", placingMs === null, "start"),
    ...said("out.wrongRate", perHour10 === null, "rate"),
    ...said("out.wrongTemperature", temperature10 === null, "temperature"),
  };
  if (amberMin === null || redMin === null || placingMs === null || perHour10 === null || temperature10 === null) return { wrong };
  return {
    fact: { kind: "keeping", amberMin, redMin, placingMs, perHour10, solution: typed.solution.trim(), temperature10, temperatureKnown },
  };
}

type Kept = Pick<TimeOut, "solution" | "temperature10" | "temperatureKnown" | "placingMs" | "perHour10">;

/** How grafts are kept and what is planned, in sentences. */
export function keptOf(o: Kept): string[] {
  const degrees = { n: signedTenths(o.temperature10).replace("-", "−"), solution: o.solution };
  const kept = o.solution !== "" ? (o.temperatureKnown ? "out.keptAt" : "out.kept") : "out.keptCold";
  const plan = { time: clock(o.placingMs), n: writeDecimal(o.perHour10, 1) };
  const planned = o.placingMs > 0 ? (o.perHour10 > 0 ? "out.plan" : "out.planStart") : "out.planRate";
  return [
    o.solution !== "" || o.temperatureKnown ? say(kept, degrees) : "",
    o.placingMs > 0 || o.perHour10 > 0 ? say(planned, plan) : "",
  ].filter(Boolean);
}

/** The same, with the limits first. */
export const keptWords = ({ timeOut: o }: View): string[] => [
  say("out.limits", { amber: duration(o.amberMin), red: duration(o.redMin) }),
  ...keptOf(o),
];
