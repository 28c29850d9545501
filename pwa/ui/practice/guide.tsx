// The guide through a first practice: one line with what to do, held against
// the View; a sheet before, one where the network turns, and one at the end.
import type { ComponentChildren, JSX } from "preact";
import { useEffect, useState } from "preact/hooks";
import type { Station } from "../../bridge/protocol.gen";
import { Dialog } from "../parts/dialog";
import type { Shown } from "../parts/room";
import { type Key, say, type Under } from "../parts/say";
import { Practising } from "../phone/practising";
import type { PracticeRoom } from "./practice-room";
import { type Seen, type Task, tasks } from "./tasks";

interface GuideProps {
  room: PracticeRoom;
  shown: Shown;
  station: Station;
  onOther: () => void; // another station
  onLeave: () => void;
  children: ComponentChildren; // the screen that is practised on
}

/** Where a guide is: before the first task, at one, at the end, or out of the way. */
type At = { is: "before" | "end" | "free" } | { is: "task"; n: number; from: Seen; turned: boolean };

/** What there is to be held against, once the engine has told all of it. */
const seenIn = ({ view, truth }: Shown): Seen | null => (view?.own !== undefined && truth ? { view, truth } : null);

export function Guide({ room, shown, station, onOther, onLeave, children }: GuideProps): JSX.Element {
  const list = tasks[station] ?? [];
  const [at, setAt] = useState<At>({ is: "before" });
  const [skipped, setSkipped] = useState(0);
  const go = (n: number): void => {
    const from = seenIn(room.shown);
    if (n >= list.length) setAt({ is: "end" });
    else if (from) setAt({ is: "task", n, from, turned: list[n]?.turns === undefined });
  };
  const now = at.is === "task" ? list[at.n] : undefined;
  const seen = seenIn(shown);
  const done = at.is === "task" && at.turned && now !== undefined && seen !== null && now.done(seen, at.from);
  useEffect(() => {
    if (done && at.is === "task") go(at.n + 1);
  }, [done, at]);
  const skip = (): void => {
    if (at.is !== "task") return;
    room.away(false); // a task that is left behind leaves nothing turned off
    setSkipped(skipped + 1);
    go(at.n + 1);
  };
  const turn = (): void => {
    if (at.is !== "task" || !now?.turns) return;
    room.away(now.turns === "away");
    setAt({ ...at, from: seenIn(room.shown) ?? at.from, turned: true });
  };
  const menu = (onClose: () => void): JSX.Element => (
    <Menu
      skip={at.is === "task" ? skip : null}
      away={shown.truth?.up === false}
      onAway={(away) => room.away(away)}
      {...{ onOther, onLeave, onClose }}
    />
  );
  const speaks = at.is === "before" || at.is === "end" || (at.is === "task" && !at.turned);
  const clear = useClear(speaks ? at : null);
  return (
    <Practising.Provider value={{ line: now && at.is === "task" ? <Line task={now} n={at.n} of={list.length} /> : null, menu }}>
      {children}
      {at.is === "before" && seen ? (
        <Before station={station} n={list.length} onBegin={() => go(0)} onFree={() => setAt({ is: "free" })} />
      ) : null}
      {clear && at.is === "task" && now?.turns && !at.turned ? <Turn turns={now.turns} onTurn={turn} onSkip={skip} /> : null}
      {clear && at.is === "end" ? (
        <End
          station={station}
          done={list.length - skipped}
          of={list.length}
          onFree={() => setAt({ is: "free" })}
          {...{ onOther, onLeave }}
        />
      ) : null}
    </Practising.Provider>
  );
}

const lookMs = 200;

/** Whether no sheet of a screen is open, so that the guide may say something: it interrupts nobody. */
function useClear(speaks: At | null): boolean {
  const [clear, set] = useState<At | null>(null);
  useEffect(() => {
    if (!speaks || speaks === clear) return;
    const look = (): void => {
      if (!document.querySelector("dialog[open]")) set(speaks);
    };
    look();
    const timer = setInterval(look, lookMs);
    return () => clearInterval(timer);
  }, [speaks, clear]);
  return speaks !== null && speaks === clear;
}

/** What to do, and a stroke for every task: solid once it is done. */
function Line({ task, n, of }: { task: Task; n: number; of: number }): JSX.Element {
  return (
    <p class="task" role="status">
      <svg class="task-strokes" viewBox={`0 0 ${8 * of} 16`} role="img" aria-label={say("practice.nth", { n: n + 1, of })}>
        {Array.from({ length: of }, (_, i) => (
          <path key={i} class={i < n ? "" : "open"} d={`M${8 * i + 1.5} 4L${8 * i + 5} 1.5V14.5H${8 * i + 1.5}Z`} />
        ))}
      </svg>
      <span>{say(task.say)}</span>
    </p>
  );
}

interface BeforeProps {
  station: Station;
  n: number;
  onBegin: () => void;
  onFree: () => void;
}

function Before({ station, n, onBegin, onFree }: BeforeProps): JSX.Element {
  return (
    <Dialog title={say("practice.title", { station: say(`station.${station}` as Under<"station.">) })} onClose={onFree}>
      <p>{say("practice.madeUp")}</p>
      <p>{say("practice.how", { n })}</p>
      <div class="acts">
        <button type="button" class="do first" onClick={onBegin}>
          {say("practice.begin")}
        </button>
        <button type="button" class="do" onClick={onFree}>
          {say("practice.free")}
        </button>
      </div>
    </Dialog>
  );
}

/** The network is made up as well, so somebody has to turn it. */
function Turn({ turns, onTurn, onSkip }: { turns: "away" | "back"; onTurn: () => void; onSkip: () => void }): JSX.Element {
  return (
    <Dialog title={say(turns === "away" ? "practice.awayTitle" : "practice.backTitle")} onClose={onSkip}>
      <p>{say(turns === "away" ? "practice.awayWhy" : "practice.backWhy")}</p>
      <button type="button" class="do first" onClick={onTurn}>
        {say(turns === "away" ? "practice.turnOff" : "practice.turnOn")}
      </button>
    </Dialog>
  );
}

interface EndProps {
  station: Station;
  done: number;
  of: number;
  onFree: () => void;
  onOther: () => void;
  onLeave: () => void;
}

/** What was learned, and what to try next. */
function End({ station, done, of, onFree, onOther, onLeave }: EndProps): JSX.Element {
  return (
    <Dialog title={say("practice.endTitle", { done, of })} onClose={onFree}>
      <p>{say(`practice.learned-${station}` as Under<"practice.learned-">)}</p>
      <p>{say("practice.learnedNetwork")}</p>
      <p>
        <b>{say("practice.next")}</b> {say(`practice.next-${station}` as Under<"practice.next-">)}
      </p>
      <div class="acts">
        <button type="button" class="do first" onClick={onLeave}>
          {say("practice.leave")}
        </button>
        <button type="button" class="do" onClick={onOther}>
          {say("practice.other")}
        </button>
        <button type="button" class="do" onClick={onFree}>
          {say("practice.on")}
        </button>
      </div>
    </Dialog>
  );
}

interface MenuProps {
  skip: (() => void) | null;
  away: boolean;
  onAway: (away: boolean) => void;
  onOther: () => void;
  onLeave: () => void;
  onClose: () => void;
}

/** What the phone's menu has in practice. */
function Menu({ skip, away, onAway, onOther, onLeave, onClose }: MenuProps): JSX.Element {
  const item = (words: Key, act: () => void): JSX.Element => (
    <button
      type="button"
      class="do"
      onClick={() => {
        onClose();
        act();
      }}
    >
      {say(words)}
    </button>
  );
  return (
    <section class="practice-menu">
      <p>{say("practice.madeUp")}</p>
      <div class="acts">
        {skip ? item("practice.skip", skip) : null}
        {item(away ? "practice.turnOn" : "practice.turnOff", () => onAway(!away))}
        {item("practice.other", onOther)}
        {item("practice.leave", onLeave)}
      </div>
    </section>
  );
}
