// The truth about sync: word, shape, colour and a number, always in one place.
import type { JSX } from "preact";
import { type Room, type Shown, useNow } from "./room";
import { clock, count, say, sayFault } from "./say";
import { Glyph, type Stroke } from "./strokes";

interface Line {
  className: string;
  glyph: Stroke;
  words: JSX.Element;
  end: string;
}

function line(shown: Shown, counted: number, entries: boolean, now: number): Line {
  const t = shown.truth;
  const inRoom = say(entries ? "truth.entriesInRoom" : "truth.inRoom");
  const last = t?.heardMs ? say("truth.roomAt", { time: clock(t.heardMs) }) : say("truth.neverHeard");
  const number = (before: string, n: number, after = ""): JSX.Element => (
    <>
      {before} <b>{count(n)}</b> {after}
    </>
  );
  if (!t) return { className: "going", glyph: "going", words: <>{say("truth.starting")}</>, end: clock(now) };
  if (shown.inMemory || t.memory > 0)
    return { className: "asks", glyph: "ask", words: number(say("truth.memory"), t.memory), end: say("truth.memoryDo") };
  if (t.refused > 0)
    return { className: "asks", glyph: "ask", words: number(say("truth.refused"), t.refused), end: say("truth.refusedDo") };
  if (!t.up && t.unsent === 0) {
    const end = t.heardMs ? say("truth.silent", { time: clock(t.heardMs) }) : say("truth.neverHeard");
    return { className: "here", glyph: "here", words: number(say("truth.all"), counted, inRoom), end };
  }
  if (!t.up) return { className: "here", glyph: "here", words: number(say("truth.here"), t.unsent), end: last };
  if (t.unsent > 0) return { className: "going", glyph: "going", words: number(say("truth.going"), t.unsent), end: last };
  return { className: "", glyph: "inroom", words: number(say("truth.all"), counted, inRoom), end: clock(now) };
}

interface TruthProps {
  room?: Room;
  shown: Shown;
  counted: number; // what this station counted
  entries?: boolean; // what is counted are the room's entries
}

/** The line at the top of every phone, and under it what there is to say. */
export function TruthLine({ room, shown, counted, entries = false }: TruthProps): JSX.Element {
  const now = useNow(10_000);
  const l = line(shown, counted, entries, now);
  return (
    <div class="head">
      <p class={`truth ${l.className}`} role="status">
        <Glyph of={l.glyph} />
        <span>{l.words}</span>
        <span>{l.end}</span>
      </p>
      {room && shown.unknown ? (
        <Notice words={say("phone.unknown")} act={say("phone.joinAgain")} onAct={() => room.joinAgain(true)} />
      ) : shown.trouble && hasNotice(shown) ? (
        <Notice words={sayFault(shown.trouble)} act={say("page.close")} onAct={() => room?.forgive()} />
      ) : null}
    </div>
  );
}

/** What is said until it was read, whether the room is there or not. */
const lasting: readonly string[] = ["history-split", "stopped-memory"];

/** Whether there is something to say besides the truth. */
export function hasNotice(shown: Shown): boolean {
  return shown.unknown || (shown.trouble !== null && (!shown.truth?.up || lasting.includes(shown.trouble.code)));
}

/** One thing to say and one to do. A short phone has its first sentence only. */
function Notice({ words, act, onAct }: { words: string; act: string; onAct: () => void }): JSX.Element {
  const end = words.indexOf(". ") + 1 || words.length;
  return (
    <div class="notice" role="alert">
      <p>
        <b>{words.slice(0, end)}</b>
        <span class="long">{words.slice(end)}</span>
      </p>
      <button type="button" class="do" onClick={onAct}>
        {act}
      </button>
    </div>
  );
}
