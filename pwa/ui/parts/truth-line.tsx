// The truth about sync: word, shape, colour and a number, always in one place.
import type { JSX } from "preact";
import { useContext, useState } from "preact/hooks";
import { HandSheet } from "../phone/later";
import { Practising } from "../phone/practising";
import { act, markRead, type Notice, noticeOf } from "./notice";
import { useNow } from "./now";
import type { Room, Shown } from "./room";
import { clock, count, say } from "./say";
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
  if (!t.up) {
    const end = noticeOf(shown)?.of === "unheard" && t.heardMs ? say("truth.silent", { time: clock(t.heardMs) }) : last;
    return { className: "here", glyph: "here", words: number(say("truth.here"), t.unsent), end };
  }
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
  const notice = noticeOf(shown);
  return (
    <div class="head">
      <p class={`truth ${l.className}`} role="status">
        <Glyph of={l.glyph} />
        <span>{l.words}</span>
        <span>{l.end}</span>
      </p>
      {notice ? <NoticeLine key={notice.of} room={room} of={notice} /> : null}
    </div>
  );
}

const acts = { join: "phone.joinAgain", read: "page.close", hand: "notice.hand" } as const;

/** One thing to say and one to do. A short phone has its first sentence only, and what has a sheet says the rest there. */
function NoticeLine({ room, of }: { room: Room | undefined; of: Notice }): JSX.Element {
  const [hand, setHand] = useState(false);
  const practice = useContext(Practising);
  const does = of.act === "hand" && practice ? "read" : of.act; // nothing leaves practice by hand
  const end = of.words.indexOf(". ") + 1 || of.words.length;
  const press = (): void => {
    if (does === "hand") setHand(true);
    else act(room, of);
  };
  return (
    <div class={of.calm ? "notice calm" : "notice"} role={of.calm ? "status" : "alert"}>
      <p>
        <b>{of.words.slice(0, end)}</b>
        {does === "hand" ? null : <span class="long">{of.words.slice(end)}</span>}
      </p>
      <button type="button" class="do" onClick={press}>
        {say(acts[does])}
      </button>
      {hand && room ? (
        <HandSheet
          room={room}
          words={of.words}
          onClose={() => {
            setHand(false);
            markRead(of.of, room);
          }}
        />
      ) : null}
    </div>
  );
}
