// What this phone is set to, by whoever holds it: how it answers, how it is laid
// out, and which keys count. All of it stays on this phone.
import { useEffect, useState } from "preact/hooks";

/** The settings of this phone. */
export interface Habits {
  sound: boolean;
  vibration: boolean;
  large: boolean; // text
  left: boolean; // held and tapped with the left hand
}

/** A key that was learned: the pad that it counts, and what its cap says. */
export interface Learned {
  pad: string;
  cap: string;
}

/** The keys of a station, by the key. */
export type Keys = Readonly<Record<string, Learned>>;

const at = "rootledger.habits";
const keysAt = (station: string): string => `rootledger.keys.${station}`;
const usual: Habits = { sound: false, vibration: true, large: false, left: false };

/** What a name holds in this phone's storage. */
export function readJson<T>(name: string, otherwise: T): T {
  try {
    return (JSON.parse(localStorage.getItem(name) ?? "null") as T | null) ?? otherwise;
  } catch {
    return otherwise; // no storage, or not what we wrote
  }
}

/** Keeps it there. */
export function writeJson(name: string, value: unknown): void {
  try {
    localStorage.setItem(name, JSON.stringify(value));
  } catch {
    // no storage: it holds for as long as the page is open
  }
}

let habits: Habits = { ...usual, ...readJson<Partial<Habits>>(at, {}) };
const keys = new Map<string, Keys>();
const watchers = new Set<() => void>();

/** The settings now. */
export const habitsNow = (): Habits => habits;

/** The keys of a station now. */
export function keysNow(station: string): Keys {
  const known = keys.get(station) ?? renamed(readJson<Keys>(keysAt(station), {}));
  keys.set(station, known);
  return known;
}

/** Keys that were learned when a pad was called otherwise. */
const renamed = (known: Keys): Keys =>
  Object.fromEntries(Object.entries(known).map(([key, of]) => [key, of.pad === "most" ? { ...of, pad: "intact" } : of]));

/** Changes some, at once and for good. */
export function setHabits(some: Partial<Habits>): void {
  habits = { ...habits, ...some };
  writeJson(at, habits);
  wear();
  changed();
}

/** Changes the keys of a station. */
export function setKeys(station: string, to: Keys): void {
  keys.set(station, to);
  writeJson(keysAt(station), to);
  changed();
}

/** Tells whoever draws settings, keys, the pads that there are or what was held back. */
export function changed(): void {
  for (const w of watchers) w();
}

/** Draws again when any of them changes. */
export function useHabits(): Habits {
  const [, again] = useState(0);
  useEffect(() => {
    const w = (): void => again((n) => n + 1);
    watchers.add(w);
    return () => {
      watchers.delete(w);
    };
  }, []);
  return habits;
}

/** Has the page look as it is set to. */
export function wear(): void {
  const page = document.documentElement;
  page.classList.toggle("large", habits.large);
  page.classList.toggle("left", habits.left);
}
