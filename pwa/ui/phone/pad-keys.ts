// Keys that count: a number pad or a foot pedal is a keyboard to a browser.
import "./rare-words";
import { keysNow } from "../parts/habits";
import { type PadHandle, pads } from "../parts/pad";
import { say, type Under } from "../parts/say";

/** A key as it is learned: where it lies, or what it writes where that is not known. */
export const keyOf = (e: KeyboardEvent): string => (e.code && e.code !== "Unidentified" ? e.code : e.key);

/** Keys that move around a page, or change what other keys do, are not learned. */
export const learnable = (e: KeyboardEvent): boolean =>
  !["Tab", "Escape", "NumLock", "CapsLock", "Unidentified", "Dead", "Process"].includes(e.key) && keyOf(e) !== "";

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

/** Whether a key belongs to what is being filled in or answered. */
function elsewhere(): boolean {
  return document.querySelector("dialog[open]") !== null || document.activeElement?.matches("input, textarea, select") === true;
}

/** Has the learned keys of a station count, until the call of what it returns. */
export function listenKeys(station: string): () => void {
  const down = new Map<string, PadHandle>();
  const over = new AbortController();
  const until = { capture: true, signal: over.signal };
  const lift = (key: string, atMs: number): void => {
    down.get(key)?.lift(key, atMs);
    down.delete(key);
  };
  addEventListener(
    "keydown",
    (e) => {
      const key = keyOf(e);
      const pad = pads.get(keysNow(station)[key]?.pad ?? "");
      if (!pad || elsewhere()) return;
      e.preventDefault();
      e.stopPropagation(); // nor does it press what has the focus
      if (e.repeat || down.has(key)) return; // some pedals repeat without saying so
      down.set(key, pad);
      pad.press(key, e.timeStamp, "");
    },
    until,
  );
  addEventListener("keyup", (e) => lift(keyOf(e), e.timeStamp), until);
  addEventListener(
    "blur",
    (e) => {
      for (const key of [...down.keys()]) lift(key, e.timeStamp); // its end is not heard
    },
    until,
  );
  return () => over.abort();
}
