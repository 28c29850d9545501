// Words: every sentence comes from words/en.json, or from the file of another
// language over it; numbers, times and lists by Intl in that language.

import type { Fault } from "../../bridge/messages";
import everybodys from "../../words/en.json";
import type { Quotes } from "../../words/quotes.gen";

export type Key = keyof typeof everybodys;
/** The keys that begin so: what an engine's name is put behind. */
export type Under<Beginning extends string> = Extract<Key, `${Beginning}${string}`>;

type Value = string | number;
type Args = Readonly<Record<string, Value>>;
/** One sentence, or one for each plural form of the language, chosen by {n}. */
export type Sentence = string | Readonly<Record<string, string>>;
export type Words = Readonly<Record<string, Sentence>>;

/** What the sentences of some keys quote: all names of all of them. Of any key at all it can not be told. */
type Needs<K extends Key> = Key extends K ? [args?: Args] : [K & keyof Quotes] extends [never] ? [] : [args: All<Quotes[K & keyof Quotes]>];
type All<U> = (U extends unknown ? (one: U) => void : never) extends (all: infer I) => void ? I : never;

const english: Record<string, Sentence> = { ...everybodys };
let others: Words = {}; // the chosen language, when it is another one

/** Adds the words of a part that has loaded; its screens say nothing before. */
export function addWords(more: Words): void {
  Object.assign(english, more);
}

/** Says everything in another language from now on; what it lacks in English. */
export function speakWith(words: Words): void {
  others = words;
}

/** The sentence of a key, its {names} filled; {n} chooses the plural form. */
export function say<K extends Key>(key: K, ...needs: Needs<K>): string {
  const args: Args = needs[0] ?? {};
  return fill(unfilled(key, args.n), args);
}

/** The sentence of a key with its {names} still in it, in the plural form of a number. */
export function unfilled(key: Key, n?: unknown): string {
  return form(others[key] ?? english[key] ?? "", n);
}

/** Whether a key has words here. */
export const hasWords = (key: string): key is Key => key in english;

function form(of: Sentence, n: unknown): string {
  return typeof of === "string" ? of : (of[rules().select(Number(n))] ?? of.other ?? "");
}

function fill(sentence: string, args: Args): string {
  return sentence.replace(/\{(\w+)\}/g, (whole, name: string) => {
    const v = args[name];
    return v === undefined ? whole : isolated(typeof v === "number" ? count(v) : v);
  });
}

/** Text that keeps its own direction in a line that runs from right to left. */
const isolated = (text: string): string => (unfilled("language.dir") === "rtl" ? `\u2068${text}\u2069` : text);

/** What a person reads of a fault. */
export function sayFault(fault: Fault): string {
  const args = readable(fault.args);
  const key = `fault.${fault.code}`;
  return fill(unfilled(hasWords(key) ? key : "fault.internal", args.n), args);
}

const names: readonly string[] = ["case", "room", "label", "field", "what", "dir", "file"]; // what people entered

/** Arguments that are numbers, as people read them. */
function readable(args: Readonly<Record<string, string>>): Record<string, Value> {
  return Object.fromEntries(Object.entries(args).map(([key, v]) => [key, !names.includes(key) && /^-?\d{1,15}$/.test(v) ? Number(v) : v]));
}

/** Makes something of Intl once for a language, when it is first needed. */
export function ofLanguage<T>(make: (tag: string) => T): () => T {
  let made: { tag: string; it: T } | undefined;
  return () => {
    const tag = unfilled("language.tag");
    if (made?.tag !== tag) made = { tag, it: make(tag) };
    return made.it;
  };
}

const time = (options: Intl.DateTimeFormatOptions): (() => Intl.DateTimeFormat) =>
  ofLanguage((tag) => new Intl.DateTimeFormat(tag, options));
const rules = ofLanguage((tag) => new Intl.PluralRules(tag));
const whole = ofLanguage((tag) => new Intl.NumberFormat(tag));
const inLine = ofLanguage((tag) => new Intl.ListFormat(tag, { type: "unit", style: "short" }));
const hourMinute = time({ hour: "2-digit", minute: "2-digit", hourCycle: "h23" });
const toSecond = time({ hour: "2-digit", minute: "2-digit", second: "2-digit", hourCycle: "h23" });
const day = time({ weekday: "long", day: "numeric", month: "long" });

const counted = ofLanguage(() => new Map<number, string>()); // of Intl a number costs more than all else of a screen's
const maxCounted = 10_000;

/** A whole number as people read it. */
export function count(n: number): string {
  const known = counted();
  const words = known.get(n) ?? whole().format(n).replace("-", "−");
  if (known.size < maxCounted) known.set(n, words);
  return words;
}
/** Things one after the other, as the language lists them. */
export const list = ([first = "", ...more]: readonly string[]): string =>
  more.length === 0 ? isolated(first) : inLine().format([first, ...more].map(isolated));
export const clock = (ms: number): string => hourMinute().format(ms);

const stepMs = 300_000;
const steps = { nearest: Math.round, before: Math.floor, after: Math.ceil };

/** A time that is only about right, on a step of five minutes. */
export const about = (ms: number, way: keyof typeof steps = "nearest"): string => clock(stepMs * steps[way](ms / stepMs));
export const clockSeconds = (ms: number): string => toSecond().format(ms);
export const dayOf = (ms: number): string => day().format(ms);
