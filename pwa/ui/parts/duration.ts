// How long something takes, in hours and minutes: as it is said, and as it is
// written into a field.
import type { Ask } from "../../bridge/protocol.gen";
import { count, say } from "./say";

const hour = 60;

/** "4 h 05 min", "4 h", or "50 min". */
export function duration(minutes: number): string {
  const over = minutes % hour;
  if (minutes < hour) return say("outNow.min", { m: String(minutes) });
  const h = count((minutes - over) / hour);
  return over === 0 ? say("outNow.hours", { h }) : say("outNow.h", { h, m: String(over).padStart(2, "0") });
}

/** The same with less words, "4 h 05", for a wall. */
export function shortDuration(minutes: number): string {
  const over = minutes % hour;
  return minutes < hour || over === 0
    ? duration(minutes)
    : say("outNow.short", { h: count((minutes - over) / hour), m: String(over).padStart(2, "0") });
}

/** What an ask quotes: a time out of the body in hours and minutes, anything else as a number. */
export function quoted(a: Ask): { have: string; want: string } {
  const timed = a.what.startsWith("pause") || a.what === "old";
  return timed ? { have: duration(a.have), want: duration(a.want) } : { have: count(a.have), want: count(a.want) };
}

/** Reads hours, "4", "4:30" or "4.5", as minutes; null for anything else, and for parts of a minute. */
export function readHours(text: string): number | null {
  const found = /^(\d{1,2})(?::([0-5]\d)|[.,](\d{1,2}))?$/.exec(text.trim());
  if (!found) return null;
  const whole = Number(found[1]) * hour;
  if (found[2] !== undefined) return whole + Number(found[2]);
  const parts = Number((found[3] ?? "").padEnd(2, "0")) * hour;
  return parts % 100 === 0 ? whole + parts / 100 : null;
}

/** Writes minutes back: 270 is "4:30". */
export function writeHours(minutes: number): string {
  const over = minutes % hour;
  const whole = String((minutes - over) / hour);
  return over === 0 ? whole : `${whole}:${String(over).padStart(2, "0")}`;
}
