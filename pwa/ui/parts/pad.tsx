// A pad counts when it is touched, once for every finger, and answers in the
// same frame. Keys count too, but never by repeating. What looks like a bounce,
// or was meant for a sheet, is held back, and shown.
import { type ComponentChildren, createContext, type JSX } from "preact";
import { useContext, useLayoutEffect, useRef } from "preact/hooks";
import type { Fact } from "../../bridge/protocol.gen";
import { CountsIn } from "./at-once";
import { Bounce } from "./bounce";
import { justClosed } from "./dialog";
import { changed, habitsNow, keysNow, readJson, useHabits, writeJson } from "./habits";

/** What a pad belongs to. */
export interface Place {
  session: string; // as this phone calls it
  practice: boolean;
  station: string;
  person: string;
}

export const PadPlace = createContext<Place>({ session: "", practice: false, station: "", person: "" });

/** Why one did not count: a sheet had just closed, or was open; "" for a bounce. */
export type Why = "" | "closed" | "open";

/** A touch that did not count, and whose it was. */
export interface Held extends Place {
  pad: string; // its name
  fact: Fact; // what it would have counted
  why: Why;
  afterMs: number; // since the touch before
  atMs: number; // wall clock
  counted: boolean; // after all
}

const heldAt = "rootledger.held";
const maxHeld = 200;
let held = readJson<readonly Held[]>(heldAt, []);

/** What pads of this phone held back, oldest first; kept over a reload. */
export const heldNow = (): readonly Held[] => held;

/** How long one is said before it is in the list only. */
export const heldSaidMs = 60_000;

/** Whether one may be counted there: it is of the same hands. */
export const isOf = (place: Place, h: Held): boolean =>
  h.session === place.session && h.station === place.station && h.person === place.person;

/** Those of a place that are said now. */
export const heldFresh = (place: Place): Held[] => held.filter((h) => isOf(place, h) && !h.counted && Date.now() - h.atMs < heldSaidMs);

/** Practice has a list of its own length: it drops nothing that is real. */
export function setHeld(to: readonly Held[]): void {
  held = [true, false].flatMap((real) => to.filter((h) => !h.practice === real).slice(-maxHeld));
  writeJson(heldAt, held);
  changed();
}

/** A pad on the screen, as keys press it. */
export interface PadHandle {
  id: string;
  name: string;
  press: (key: string, atMs: number, why: Why) => void; // a why holds it back
  lift: (key: string, atMs: number) => void;
}

/** The pads on the screen, in their order. */
export const pads = new Map<string, PadHandle>();

/** What answers beside the look; sound is a part that loads later. */
export const answers: { sound?: (tone: number, fifth: boolean) => void; ask?: () => void } = {};

const strokesInFive = 5;
/** How long a touch is answered at least: an eye sees it, and a fast finger's count is drawn before its lift is. */
const answerMs = 80;
const runEndsMs = 1500; // after which the run of strokes is counted from the tally again

interface PadProps {
  id: string; // which pad of its station, for the keys
  name: string; // how it is called
  className?: "pad" | "pad2";
  label?: string; // its name, where what it shows does not say it
  tone?: number; // its sound, 0 for what is counted most, then lower
  counted?: number; // what its figure shows
  fact: Fact;
  onCount: (fact: Fact) => unknown;
  children: ComponentChildren;
}

/** One pad: the big one, or with className "pad2" a smaller one. */
export function Pad({ id, name, className = "pad", label, tone = 0, counted = 0, fact, onCount, children }: PadProps): JSX.Element {
  const place = useContext(PadPlace);
  const room = useContext(CountsIn);
  const bounce = useRef(new Bounce()).current;
  const run = useRef({ n: 0, atMs: 0 }).current;
  const answer = useRef<{ fromMs: number; over?: ReturnType<typeof setTimeout> }>({ fromMs: 0 }).current;
  const button = useRef<HTMLButtonElement>(null);
  useHabits();
  const look = (down: boolean): void => void button.current?.classList.toggle("down", down); // at once, and nothing else is drawn
  const count = (): void => {
    const now = performance.now();
    run.n = (now - run.atMs > runEndsMs ? counted : run.n) + 1;
    run.atMs = now;
    room?.drawing.touched();
    const { sound, vibration } = habitsNow();
    if (vibration) navigator.vibrate?.(10);
    if (sound) answers.sound?.(tone, run.n % strokesInFive === 0);
    onCount(fact);
  };
  // atMs is when the screen felt it: a page that was busy hears of two touches at once
  const press = (finger: number | string, x: number, y: number, atMs: number, why: Why): void => {
    if (bounce.has(finger)) return;
    const afterMs = bounce.press(finger, x, y, atMs);
    if (afterMs > 0 || why) {
      setHeld([...held, { ...place, pad: name, fact, why: afterMs > 0 ? "" : why, afterMs, atMs: Date.now(), counted: false }]);
      return;
    }
    answer.fromMs = performance.now();
    look(true);
    count();
  };
  const lift = (finger: number | string, atMs: number): void => {
    bounce.lift(finger, atMs);
    clearTimeout(answer.over);
    answer.over = setTimeout(() => look(bounce.held), answer.fromMs + answerMs - performance.now());
  };
  const handle = useRef<PadHandle>({ id, name, press: () => undefined, lift: () => undefined }).current;
  handle.name = name;
  handle.press = (key, atMs, why) => press(key, 0, 0, atMs, why);
  handle.lift = lift;
  useLayoutEffect(() => {
    pads.set(id, handle); // at once: a key may come before the next frame
    changed();
    return () => {
      if (pads.get(id) === handle) pads.delete(id);
      changed();
    };
  }, [id]);
  const caps = Object.values(keysNow(place.station)).filter((k) => k.pad === id);
  const isKey = (e: KeyboardEvent): boolean => e.key === "Enter" || e.key === " ";
  const whyNot = (e: Event): Why => (justClosed(e.timeStamp) ? "closed" : "");
  const up = (e: PointerEvent): void => lift(e.pointerId, e.timeStamp);
  return (
    <button
      ref={button}
      type="button"
      class={className}
      onPointerDown={(e) => e.button === 0 && press(e.pointerId, e.clientX, e.clientY, e.timeStamp, whyNot(e))}
      onPointerUp={up}
      onPointerCancel={up}
      onPointerLeave={up}
      onTouchEnd={(e) => e.preventDefault()} // no zoom by a double tap, and no click after it
      onClick={(e) => e.detail === 0 && count()} // of a screen reader, which touches nothing
      onKeyDown={(e) => {
        if (!isKey(e)) return;
        e.preventDefault();
        if (!e.repeat) press(e.key, 0, 0, e.timeStamp, whyNot(e));
      }}
      onKeyUp={(e) => {
        if (!isKey(e)) return;
        e.preventDefault();
        lift(e.key, e.timeStamp);
      }}
      onBlur={(e) => {
        for (const key of ["Enter", " "]) lift(key, e.timeStamp); // its end is not heard any more
      }}
      onContextMenu={(e) => e.preventDefault()}
    >
      {label ? <span class="off">{label}</span> : null}
      {children}
      {caps.map((k) => (
        <kbd key={k.cap}>{k.cap}</kbd>
      ))}
    </button>
  );
}
