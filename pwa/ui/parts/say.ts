// Words: every sentence comes from words/en.json; numbers and times by Intl.

import type { Fault } from "../../bridge/messages";
import everybodys from "../../words/en.json";

export type Key = keyof typeof everybodys;

const words: Record<Key, string> = { ...everybodys };

/** Adds the words of a part that has loaded; its screens say nothing before. */
export function addWords(more: Readonly<Record<string, string>>): void {
  Object.assign(words, more);
}

/** The sentence of a key, its {names} filled. */
export function say(key: Key, args: Readonly<Record<string, string | number>> = {}): string {
  return fill(words[key], args);
}

function fill(sentence: string, args: Readonly<Record<string, string | number>>): string {
  return sentence.replace(/\{(\w+)\}/g, (whole, name: string) => {
    const v = args[name];
    return v === undefined ? whole : typeof v === "number" ? count(v) : v;
  });
}

/** One of several things: the sentence for one, or for another number. */
export function sayCount(one: Key, many: Key, n: number, args: Readonly<Record<string, string | number>> = {}): string {
  return say(n === 1 ? one : many, { ...args, n });
}

/** What a person reads of a fault. */
export function sayFault(fault: Fault): string {
  const key = `fault.${fault.code}`;
  return fill((words as Record<string, string>)[key] ?? say("fault.internal"), readable(fault.args));
}

const names: readonly string[] = ["case", "room", "label", "field", "what", "dir", "file"]; // what people entered

/** Arguments that are numbers, as people read them. */
function readable(args: Readonly<Record<string, string>>): Record<string, string | number> {
  return Object.fromEntries(Object.entries(args).map(([key, v]) => [key, !names.includes(key) && /^-?\d{4,15}$/.test(v) ? Number(v) : v]));
}

const whole = new Intl.NumberFormat("en");
const hourMinute = new Intl.DateTimeFormat("en-GB", { hour: "2-digit", minute: "2-digit" });
const toSecond = new Intl.DateTimeFormat("en-GB", { hour: "2-digit", minute: "2-digit", second: "2-digit" });
const day = new Intl.DateTimeFormat("en-GB", { weekday: "long", day: "numeric", month: "long" });

export const count = (n: number): string => whole.format(n).replace("-", "−");
export const clock = (ms: number): string => hourMinute.format(ms);

const stepMs = 300_000;
const steps = { nearest: Math.round, before: Math.floor, after: Math.ceil };

/** A time that is only about right, on a step of five minutes. */
export const about = (ms: number, way: keyof typeof steps = "nearest"): string => clock(stepMs * steps[way](ms / stepMs));
export const clockSeconds = (ms: number): string => toSecond.format(ms);
export const dayOf = (ms: number): string => day.format(ms);
