// What a phone has to say besides how far its counts are: one thing at a time, the
// one that matters most first, each with its own words and one thing to do.
import type { Room, Shown } from "./room";
import { clock, dayOf, say, sayFault } from "./say";

/** What a notice offers to do. */
export type Act = "join" | "read" | "hand";

export interface Notice {
  of: string; // what it is about: it stays away for a while once it was read
  words: string;
  act: Act;
  calm: boolean; // nothing asks to be done
}

/** What is said until it was read, whether the room is there or not. */
const lasting: readonly string[] = ["history-split", "stopped-memory"];

const unheardMs = 3 * 60_000;
const clockMs = 2 * 60_000;
const againMs = 15 * 60_000;

const openedMs = Date.now(); // this page: nobody is heard in its first moments
const readAt = new Map<string, number>();

/** The notice was read, or what it offers was done. */
export function markRead(of: string, room: Room | undefined): void {
  readAt.set(of, Date.now());
  room?.redraw();
}

const unread = (of: string): boolean => Date.now() - (readAt.get(of) ?? 0) > againMs;

/** What there is to say, null for nothing. */
export function noticeOf(shown: Shown): Notice | null {
  const t = shown.truth;
  if (shown.unknown) return { of: "unknown", words: say("phone.unknown"), act: "join", calm: false };
  if (shown.trouble && (!t?.up || lasting.includes(shown.trouble.code)))
    return { of: "trouble", words: sayFault(shown.trouble), act: "read", calm: false };
  if (shown.inMemory) return unread("full") ? { of: "full", words: say("notice.full"), act: "hand", calm: false } : null; // all other words say that counts are safe
  if (t && !t.up && t.unsent > 0 && Date.now() - Math.max(t.heardMs, openedMs) > unheardMs && unread("unheard"))
    return {
      of: "unheard",
      words: t.heardMs > 0 ? say("notice.unheard", { time: clock(t.heardMs), n: t.unsent }) : say("notice.never", { n: t.unsent }),
      act: "hand",
      calm: true,
    };
  const ended = shown.view?.session?.endedMs ?? 0;
  if (ended > 0 && unread("ended"))
    return { of: "ended", words: say("notice.ended", { day: dayOf(ended), time: clock(ended) }), act: "read", calm: false };
  const ahead = shown.view?.own?.clockAheadMs ?? 0;
  if (Math.abs(ahead) > clockMs && unread("clock")) {
    const n = Math.round(Math.abs(ahead) / 60_000);
    return { of: "clock", words: say(ahead > 0 ? "notice.ahead" : "notice.behind", { n }), act: "read", calm: true };
  }
  if (shown.nearlyFull && unread("nearlyFull")) return { of: "nearlyFull", words: say("notice.nearlyFull"), act: "read", calm: false };
  return null;
}

/** Does what a notice offers that needs no sheet. */
export function act(room: Room | undefined, n: Notice): void {
  if (n.act === "join") room?.joinAgain(true);
  else if (n.of === "trouble") room?.forgive();
  else markRead(n.of, room);
}
