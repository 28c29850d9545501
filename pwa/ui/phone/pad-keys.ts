// Keys that count: a number pad or a foot pedal is a keyboard to a browser.
import "./rare-words";
import { keysNow } from "../parts/habits";
import { type PadHandle, pads } from "../parts/pad";
import { say, type Under } from "../parts/say";

/** A key as it is learned: where it lies, or what it writes where that is not known. */
export const keyOf = (e: KeyboardEvent): string => (e.code && e.code !== "Unidentified" ? e.code : e.key);

/** One of several keys held together, which is not for a pad: it is the browser's. */
const chord = (e: KeyboardEvent): boolean => e.ctrlKey || e.altKey || e.metaKey;

const notLearned = /^(Tab|Escape|Shift|Control|Alt|AltGraph|Meta|Fn|FnLock|CapsLock|NumLock|ScrollLock|Unidentified|Dead|Process)$/;

/** Keys that move around a page, or change what other keys do, are not learned. */
export const learnable = (e: KeyboardEvent): boolean => !notLearned.test(e.key) && !chord(e) && keyOf(e) !== "";

const named: readonly string[] = ["ArrowLeft", "ArrowRight", "ArrowUp", "ArrowDown", "PageUp", "PageDown", "Enter", "Space", "Backspace"];
const signs: Readonly<Record<string, string>> = { Add: "+", Subtract: "−", Multiply: "×", Divide: "/", Decimal: ".", Comma: "," };
const longestCap = 8;

/** What its cap says. */
export function capOf(e: KeyboardEvent): string {
  const onPad = /^Numpad(.+)$/.exec(e.code)?.[1] ?? "";
  if (/^\d$/.test(onPad)) return onPad;
  if (signs[onPad]) return signs[onPad];
  const key = e.key === " " ? "Space" : e.key;
  if (named.includes(key)) return say(`learn.key${key}` as Under<"learn.key">);
  return key.length === 1 ? key.toLocaleUpperCase() : key.slice(0, longestCap);
}

/** Whether a learned key is left to what is being filled in: words, a number that takes its digit, or the question which key counts. */
function typed(e: KeyboardEvent): boolean {
  const field = document.activeElement?.matches("input:not([type=checkbox]), textarea, select");
  const digit = /^[\d.,]$/.test(e.key) && document.querySelector("dialog[open] .keys");
  return Boolean(field || digit || document.querySelector("dialog[open] .asks-key"));
}

/** After this long without a word of a key that is down, its end was not heard: it comes down anew. */
const lostMs = 1000;

/** Has the learned keys of a station count, until the call of what it returns. */
export function listenKeys(station: string): () => void {
  const down = new Map<string, { pad: PadHandle | undefined; atMs: number }>(); // when it was last heard of
  const over = new AbortController();
  const until = { capture: true, signal: over.signal };
  const lift = (key: string, atMs: number): void => {
    down.get(key)?.pad?.lift(key, atMs);
    down.delete(key);
  };
  addEventListener(
    "keydown",
    (e) => {
      const key = keyOf(e);
      const learned = keysNow(station)[key];
      if (!learned || chord(e) || typed(e)) return;
      e.preventDefault();
      e.stopPropagation(); // nor does it press what has the focus, in a sheet or where its pad is not on the screen
      const was = down.get(key);
      const repeats = e.repeat || (was && e.timeStamp - was.atMs < lostMs); // some pedals do without saying so
      if (was && repeats) was.atMs = e.timeStamp;
      if (!repeats) {
        if (was) lift(key, was.atMs);
        const pad = pads.get(learned.pad);
        down.set(key, { pad, atMs: e.timeStamp });
        pad?.press(key, e.timeStamp, document.querySelector("dialog[open]") ? "open" : "");
      }
    },
    until,
  );
  addEventListener(
    "keyup",
    (e) => {
      const key = keyOf(e);
      if (down.has(key)) e.preventDefault(); // some browsers press by the end of a key
      lift(key, e.timeStamp);
    },
    until,
  );
  addEventListener(
    "blur",
    (e) => {
      for (const key of [...down.keys()]) lift(key, e.timeStamp); // its end is not heard
    },
    until,
  );
  return () => over.abort();
}
