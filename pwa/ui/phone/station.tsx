// The frame of every station: truth, who, where, own tally, last entries.
import type { ComponentChildren, JSX } from "preact";
import { useContext, useEffect, useLayoutEffect, useMemo, useRef, useState } from "preact/hooks";
import type { Step } from "../../bridge/messages";
import type { Entry, Figure as FigureName, Ref, View } from "../../bridge/protocol.gen";
import { AtOnce } from "../parts/at-once";
import { Bounce } from "../parts/bounce";
import { justClosed, Told } from "../parts/dialog";
import { EntryGlyph, entryWords, StepMark } from "../parts/entry";
import { habitsNow, useHabits } from "../parts/habits";
import { noticeOf } from "../parts/notice";
import { answers, heldFresh, type PadHandle, PadPlace, pads } from "../parts/pad";
import type { Room, Shown } from "../parts/room";
import { clock, clockSeconds, count, type Key, say, sayFault } from "../parts/say";
import { spent } from "../parts/spent";
import { Still } from "../parts/still";
import { Glyph } from "../parts/strokes";
import { TruthLine } from "../parts/truth-line";
import { Figure } from "../parts/where";
import { placeOf } from "./chosen";
import { HeldLine, OpeningSheet, PhoneMenu } from "./later";
import { opens } from "./opens";
import { Practising } from "./practising";

/** The room's figure beside the own tally. */
interface RoomFigure {
  n: number;
  note: ComponentChildren;
  of?: FigureName; // what it is to the engine, which says where it comes from
  at?: Ref;
}

interface FrameProps {
  room: Room;
  shown: Shown;
  view: View;
  station: Key;
  where: ComponentChildren;
  own: ComponentChildren; // words under the own tally
  tally?: (view: View) => number; // what stands there instead of the own tally
  figure: RoomFigure;
  line?: ComponentChildren; // one quiet line under both, where there is room
  many?: () => void; // opens what counts many at once, where no pad does
  children: ComponentChildren; // pads, and what stands under them
}

const ownCount = (view: View): number => view.own.count;

/** One station's screen around its pads. */
export function Station({
  room,
  shown,
  view,
  station,
  where,
  own,
  tally = ownCount,
  figure,
  line,
  many,
  children,
}: FrameProps): JSX.Element {
  const notice = noticeOf(shown);
  const asks = useContext(Told) !== "" || shown.inMemory;
  useEffect(() => {
    if (asks && habitsNow().sound) answers.ask?.(); // once, when it begins to ask
  }, [asks]);
  const now = placeOf(view);
  const place = useMemo(() => now, Object.values(now));
  return (
    <PadPlace.Provider value={place}>
      <main class="phone station">
        <TruthLine room={room} shown={shown} counted={view.own.count} />
        {notice?.calm ? <h1 class="off">{say(station)}</h1> : null}
        <Who room={room} view={view} station={station} menu={false} slim={notice?.calm === false} />
        {where}
        <section class="own">
          <p>
            <span class="figure">
              <AtOnce of={tally} />
            </span>
            <span class="note">{own}</span>
          </p>
          <p class="room">
            {figure.of ? (
              <Figure room={room} of={figure.of} at={figure.at ?? ""}>
                {count(figure.n)}
              </Figure>
            ) : (
              <b>{count(figure.n)}</b>
            )}
            <span class="note">{figure.note}</span>
          </p>
        </section>
        {line ? <p class="line">{line}</p> : null}
        <LastEntries room={room} shown={shown} view={view} many={many} />
        {children}
      </main>
    </PadPlace.Provider>
  );
}

interface WhoProps {
  room: Room;
  view: View;
  station: Key;
  menu?: boolean;
  slim?: boolean; // a notice needs the room
}

/** Whose station this is, in which session. On a page that scrolls it opens the phone's menu; a station has that beside undo. */
export function Who({ room, view, station, menu = true, slim = false }: WhoProps): JSX.Element {
  const asked = useContext(Practising)?.line;
  const paused = view.pace.stations.some((s) => s.station === view.own.station && s.paused);
  if (asked)
    return (
      <header class={slim ? "who slim asked-of" : "who asked-of"}>
        <h1 class="off">{say(station)}</h1>
        {asked}
        {menu ? <MenuButton room={room} view={view} /> : null}
      </header>
    );
  const session = view.session.case ? say("phone.caseRoom", { case: view.session.case, room: view.session.room }) : "";
  return (
    <header class={slim ? "who slim" : "who"}>
      <h1>{say(station)}</h1>
      <span class="person">{view.own.person}</span>
      {view.session.practice ? <span class="practice">{say("phone.practice")}</span> : null}
      {view.session.endedMs > 0 ? (
        <span class="case ended">{say("phone.ended", { time: clock(view.session.endedMs) })}</span>
      ) : paused ? (
        <span class="case ended">{say("line.paused")}</span>
      ) : (
        <span class="case">{session}</span>
      )}
      {menu ? <MenuButton room={room} view={view} /> : null}
    </header>
  );
}

/** Opens what a phone does besides counting. */
function MenuButton({ room, view }: { room: Room; view: View }): JSX.Element {
  const [open, setOpen] = useState(false);
  return (
    <>
      <button type="button" class="menu" aria-haspopup="dialog" aria-label={say("phone.menu")} onClick={() => setOpen(true)}>
        <Glyph of="hand" />
      </button>
      {open ? <PhoneMenu room={room} view={view} onClose={() => setOpen(false)} /> : null}
    </>
  );
}

/** How long one press may chatter: it is one undo. */
const chatterMs = 150;

function LastEntries({ room, shown, view, many }: { room: Room; shown: Shown; view: View; many: (() => void) | undefined }): JSX.Element {
  useHabits();
  const place = useContext(PadPlace);
  const held = heldFresh(place).length > 0;
  const [wrong, setWrong] = useState("");
  const [opening, setOpening] = useState(false);
  const newest = view.own.last[0];
  const bounce = useRef(new Bounce()).current; // of keys: a finger undoes when it is lifted
  const taken = useRef({ ref: "", againMs: 0 }).current; // back, and when the next one may be
  const mine = newest?.person === view.own.person; // who took over takes back nothing of the one before, but from the list
  const undo = async (): Promise<void> => {
    const now = (room.shown.view ?? view).own; // it may be newer than what is drawn
    const last = now.last[0];
    if (now.count < view.own.count) return; // somebody else took one back just now
    if (!last || last.person !== now.person || last.ref === taken.ref || performance.now() < taken.againMs) return;
    taken.ref = last.ref;
    taken.againMs = performance.now() + chatterMs;
    const { fault } = await room.tap({ kind: "void", target: last.ref });
    if (fault) taken.ref = "";
    setWrong(fault ? sayFault(fault) : "");
  };
  useLayoutEffect(() => {
    const press: PadHandle["press"] = (key, atMs, why) => void (bounce.press(key, 0, 0, atMs) === 0 && !why && undo());
    pads.set("undo", { id: "undo", name: say("phone.undo"), press, lift: (key, atMs) => bounce.lift(key, atMs) }); // a key may undo, too
  });
  useEffect(() => () => void pads.delete("undo"), []);
  const first = !newest && view.session.openedMs > 0 && opens(view.own.station);
  return (
    <section class={held ? "last holding" : "last"} aria-label={say("phone.last")}>
      <ol class={first ? "off" : ""}>
        {/* by place, not by entry: the words change, and no row is made and taken away for every count */}
        {view.own.last.map((e, i) => (
          <OneOfLast key={`${i} newest`} entry={e} words={entryWords(e, view)} newest={i === 0} step={shown.steps[i] ?? "phone"} />
        ))}
        {newest ? null : <li class="quiet">{say("phone.nothingYet")}</li>}
      </ol>
      {first ? (
        <button type="button" class="do opening" onClick={() => setOpening(true)}>
          {say("phone.openingFirst")}
        </button>
      ) : null}
      {opening ? <OpeningSheet room={room} view={view} onClose={() => setOpening(false)} /> : null}
      {wrong ? <span class="wrong">{wrong}</span> : null}
      {held ? <HeldLine room={room} place={place} /> : null}
      <button
        type="button"
        class="undo"
        aria-label={say("phone.undo")}
        disabled={!mine}
        onKeyDown={(e) => e.repeat && e.preventDefault()}
        onClick={(e) => (e.detail > 0 && justClosed(e.timeStamp)) || void undo()}
      >
        <Glyph of="undo" />
        <span class="word">{say("phone.undo")}</span>
      </button>
      {many ? (
        <button type="button" class="menu many-open" aria-haspopup="dialog" aria-label={say("phone.many")} onClick={many}>
          <Glyph of="more" />
        </button>
      ) : null}
      <MenuButton room={room} view={view} />
    </section>
  );
}

interface OneOfLastProps {
  entry: Entry;
  words: string;
  newest: boolean;
  step: Step;
}

function OneOfLast({ entry: e, words, newest, step }: OneOfLastProps): JSX.Element {
  return (
    <Still of={[e.kind, e.size, e.outcome, e.atMs, words, newest, step]}>
      {() => (
        <li>
          <EntryGlyph of={e} />
          <span class="word">{newest ? words : <span class="off">{words}</span>}</span>
          <time>
            <span class="hh">{clockSeconds(e.atMs).slice(0, 3)}</span>
            {clockSeconds(e.atMs).slice(3)}
          </time>
          <StepMark step={step} short />
        </li>
      )}
    </Still>
  );
}

/** Words, and more of them where there is room. */
export function Long({ words, more }: { words: string; more: string }): JSX.Element {
  return (
    <>
      {words}
      <span class="long">{more}</span>
    </>
  );
}

/** The room's "still to take", or why it is not known. */
export function toTake(view: View): RoomFigure {
  const h = view.headline;
  if (!h.budgetKnown) return { of: "usable", n: h.usable, note: <>{say("phone.usable")}</> };
  if (spent(view)) return { of: "donor left", n: h.donorLeft, note: <>{say("phone.noMore")}</> };
  return {
    of: "to take",
    n: h.toTake,
    note: (
      <>
        <span class="long">{say("phone.roomStill")} </span>
        {say("phone.toTake")}
      </>
    ),
  };
}
