// What a station counts right now (region, pass, zone, dish), remembered on
// this phone for the session.
import { useEffect, useState } from "preact/hooks";
import type { Dish, Pass, Ref, View } from "../../bridge/protocol.gen";
import type { Place } from "../parts/pad";

/** A text that this phone remembers for the session; "" until one is set. */
export function useRemembered(view: View, what: string): [string, (text: string) => void] {
  const key = keyOf(view, what);
  const [text, set] = useState(() => read(key));
  return [
    text,
    (next) => {
      write(key, next);
      set(next);
    },
  ];
}

/** What is remembered where somebody chose none of the refs. */
const none = "none";

const chosenOf = (chosen: string, refs: readonly Ref[]): Ref => (refs.includes(chosen) ? chosen : chosen === none ? "" : (refs[0] ?? ""));

/** The chosen one of refs; the first when nothing was chosen, "" when none was, or there is none. */
export function useChosen(view: View, what: string, refs: readonly Ref[]): [Ref, (ref: Ref) => void] {
  const [chosen, choose] = useRemembered(view, what);
  return [chosenOf(chosen, refs), (ref) => choose(ref || none)];
}

/** The region that attempts are counted in, as the screen says. */
export const regionNow = (view: View): Ref =>
  chosenOf(
    recall(view, "region"),
    view.regions.map((r) => r.ref),
  );

/** Who wrote what a reference names. */
const phoneOf = (ref: Ref): string => ref.split(":")[0] ?? "";

/** The pass that takes the place of one that is not open any more: of the same phone or operator. */
function passAfter(chosen: Ref, view: View): Pass | undefined {
  const by = view.passes.find((p) => p.ref === chosen)?.operator ?? "";
  return view.passes.filter((p) => !p.ended && (phoneOf(p.ref) === phoneOf(chosen) || (by !== "" && p.operator === by))).at(-1);
}

/** The open pass that is counted; the first when none was chosen. When it ends, only one of the same phone or operator takes its place; "" asks for a choice. */
export function useChosenPass(view: View): [Ref, (ref: Ref) => void] {
  const [chosen, choose] = useRemembered(view, "pass");
  const known = view.passes.find((p) => p.ref === chosen);
  const open = known && !known.ended ? known : chosen === "" ? view.passes.find((p) => !p.ended) : passAfter(chosen, view);
  const ref = open?.ref ?? "";
  const settled = ref !== "" && ref !== chosen && (chosen === "" || known !== undefined); // one just begun is not heard of yet
  useEffect(() => {
    if (settled && recall(view, "pass") === chosen) choose(ref); // so that its own end is noticed; a finger may have chosen meanwhile
  }, [settled, ref]);
  return [ref, choose];
}

/** The open dish that grafts of each size go into, null for none, by size from 1. */
export interface Fills {
  of: (size: number) => Dish | null;
  choose: (dish: Dish) => void; // a second time takes it out again
  clear: () => void;
}

const sizes = [1, 2, 3, 4] as const;

/** Which dish fills, as the sorter chose. */
export function useFills(view: View): Fills {
  const [text, set] = useRemembered(view, "fill");
  const refs = sizes.map((_, i) => text.split(" ")[i] ?? "");
  const fits = (dish: Dish, size: number): boolean => dish.size === 0 || dish.size === size;
  const of = (size: number): Dish | null => view.dishes.find((d) => !d.closed && d.ref === refs[size - 1] && fits(d, size)) ?? null;
  const choose = (dish: Dish): void => {
    const on = sizes.some((size) => of(size)?.ref === dish.ref);
    set(refs.map((ref, i) => (!fits(dish, i + 1) ? ref : on ? "" : dish.ref)).join(" "));
  };
  return { of, choose, clear: () => set("") };
}

/** The dish that a graft of a size is taken from or goes back into: one for another size is not it. */
export const dishFor = (dish: Dish | undefined, size: number): string => (dish && (dish.size === 0 || dish.size === size) ? dish.ref : "");

/** A text that is remembered beside those; "" for none. */
export function recall(view: View, what: string): string {
  return read(keyOf(view, what));
}

/** Remembers it. */
export function remember(view: View, what: string, text: string): void {
  write(keyOf(view, what), text);
}

/** Where and by whom this phone counts. */
export const placeOf = (view: View): Place => ({
  session: view.session.id,
  practice: view.session.practice,
  station: view.own.station,
  person: view.own.person,
});

const keyOf = (view: View, what: string): string => `chosen.${view.session.id}.${what}`;

/** Forgets all that is remembered for a session. */
export function forget(session: string): void {
  try {
    for (const key of Object.keys(localStorage)) if (key.startsWith(`chosen.${session}.`)) localStorage.removeItem(key);
  } catch {
    // nothing is remembered where nothing can be written
  }
}

function read(key: string): string {
  try {
    return localStorage.getItem(key) ?? "";
  } catch {
    return ""; // no storage: chosen for as long as the page is open
  }
}

function write(key: string, text: string): void {
  try {
    localStorage.setItem(key, text);
  } catch {
    // as above
  }
}
