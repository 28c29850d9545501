// A change of person at a station: who takes over, then a short count of what
// lies there, blind as any recount. What was counted goes with the hand-over.
import "./rare-words";
import type { JSX } from "preact";
import { useLayoutEffect, useRef, useState } from "preact/hooks";
import type { Direction, Fact, Pass, Recount, Ref, View } from "../../bridge/protocol.gen";
import { useBusy } from "../parts/busy";
import { Dialog } from "../parts/dialog";
import type { Room } from "../parts/room";
import { say, sayFault } from "../parts/say";
import { Apart } from "./apart";
import { recall, regionNow, remember } from "./chosen";
import { Keys } from "./keys";
import { AskReading, askedOf, lastOf, nextName, noteReading } from "./reading";
import { benchSubject, dishSubject, type Subject } from "./recount-sheet";

/** What is counted for a hand-over: objects, or what a device's counter shows. */
type Check = { of: "objects"; subject: Subject } | { of: "counter"; pass: Pass; counter: string; direction: Direction };

/** What lies at the station of this phone, null where there is nothing to count. */
function checkOf(view: View): Check | null {
  switch (view.own.station) {
    case "extraction": {
      const pass = view.passes.find((p) => p.ref === recall(view, "pass") && !p.ended);
      const counter = pass ? recall(view, `counter.${pass.ref}`) : "";
      const last = pass && counter ? lastOf(view, pass, counter) : null;
      if (pass && last) return { of: "counter", pass, counter, direction: last.direction };
      return { of: "objects", subject: benchSubject() };
    }
    case "sorting":
      return { of: "objects", subject: benchSubject() };
    case "placing": {
      const dish = view.dishes.find((d) => d.ref === recall(view, "take") && !d.closed);
      if (dish) return { of: "objects", subject: dishSubject(view, dish) };
      return { of: "objects", subject: { of: "holding", dish: "", zone: "", sizes: [0], name: say("recount.holding") } };
    }
    default:
      return null;
  }
}

function question(check: Check): string {
  if (check.of === "counter") return say("hand.counter", { counter: check.counter });
  if (check.subject.of === "bench") return say("hand.bench");
  return check.subject.dish ? say("hand.dish", { dish: check.subject.name }) : say("hand.holding");
}

/** Who held this phone today, as far as it remembers. */
const held = (view: View): string[] => recall(view, "held").split("\n");

/** The people of the day who may take over: those who hold no phone first. */
function others(view: View): string[] {
  const holds = new Set(view.phones.filter((p) => !p.left).map((p) => p.person));
  const names = new Set([...view.phones.map((p) => p.person), ...held(view)].filter((name) => name !== "" && name !== view.own.person));
  return [...names].sort((a, b) => Number(holds.has(a)) - Number(holds.has(b)) || a.localeCompare(b));
}

/** What was counted, and what it was compared with: as it was then, for another recount may take its place. Null where nothing told, and for a counter. */
interface Checked {
  ref: Ref;
  n: number;
  found: Recount | null;
}

const compareMs = 2000;

/** A recount beside the tallies, once the engine tells; null when it does not soon. */
function comparedIn(room: Room, ref: Ref): Promise<Recount | null> {
  return new Promise((resolve) => {
    const find = (): void => {
      const found = room.shown.view?.recounts.find((r) => r.ref === ref);
      if (found) end(found);
    };
    const end = (found: Recount | null): void => {
      clearTimeout(late);
      stop();
      resolve(found);
    };
    const late = setTimeout(() => end(null), compareMs);
    const stop = room.watch(find);
    find();
  });
}

interface HandOverProps {
  room: Room;
  view: View;
  onClose: () => void;
}

/** The sheet: who, the count, and what came of it. */
export function HandOverSheet({ room, view, onClose }: HandOverProps): JSX.Element {
  const [person, setPerson] = useState("");
  const [checked, setChecked] = useState<Checked | null>(null);
  const [doubted, setDoubted] = useState<number | null>(null); // a reading that is asked about
  const [wrong, setWrong] = useState("");
  const [done, setDone] = useState(false);
  const [busy, run] = useBusy();
  const check = checkOf(view);
  const closed = useRef(false); // before it was compared: nobody takes over unseen
  useLayoutEffect(
    () => () => {
      closed.current = true;
    },
    [],
  );
  const tap = async (fact: Fact): Promise<Ref> => {
    const { ref, fault } = await room.tap(fact);
    setWrong(fault ? sayFault(fault) : "");
    return fault ? "" : ref;
  };
  const pass = async (to: string, ref: Ref): Promise<void> => {
    if (!(await tap({ kind: "handed over", person: to, checks: ref ? [ref] : [] }))) return;
    setDone(true);
    remember(view, "held", [...new Set([...held(view), view.own.person])].join("\n"));
  };
  const choose = (to: string): void => {
    setPerson(to);
    if (!check) run(() => pass(to, ""));
  };
  const read = async (value: number, counter: string): Promise<void> => {
    if (check?.of !== "counter") return;
    const { direction } = check;
    const ref = await tap({ kind: "reading", pass: check.pass.ref, region: regionNow(view), counter, direction, value });
    if (!ref) return;
    noteReading(view, check.pass.ref, counter, direction, value);
    setDoubted(null);
    setChecked({ ref, n: value, found: null });
    await pass(person, ref);
  };
  const keep = async (n: number): Promise<void> => {
    if (!check) return;
    if (check.of === "counter") {
      if (askedOf(lastOf(view, check.pass, check.counter), check.direction, n)) setDoubted(n);
      else await read(n, check.counter);
      return;
    }
    const ref = await tap({ kind: "recount", of: check.subject.of, dish: check.subject.dish, zone: "", size: 0, n });
    if (!ref) return;
    const found = await comparedIn(room, ref);
    if (closed.current) return;
    setChecked({ ref, n, found });
    if (found?.amount === 0) await pass(person, ref);
  };
  const found = checked?.found;
  const doubts =
    doubted !== null && check?.of === "counter" ? askedOf(lastOf(view, check.pass, check.counter), check.direction, doubted) : null;
  return (
    <Dialog title={person ? say("hand.to", { person }) : say("hand.who")} onClose={onClose}>
      {wrong ? (
        <p class="wrong" role="alert">
          {wrong}
        </p>
      ) : null}
      {done ? (
        <Done person={person} counted={found?.amount === 0 ? found.counted : null} asked={check !== null && !checked} onClose={onClose} />
      ) : !person ? (
        <Who view={view} onPerson={choose} />
      ) : checked ? (
        <Differs
          room={room}
          person={person}
          checked={checked}
          busy={busy}
          onAgain={() => setChecked(null)}
          onPass={() => run(() => pass(person, checked.ref))}
        />
      ) : check?.of === "counter" && doubts ? (
        <AskReading
          of={doubts}
          busy={busy}
          onNew={() => run(() => read(doubted ?? 0, nextName(view, check.pass, check.counter)))}
          onTyped={() => setDoubted(null)}
          onRight={() => run(() => read(doubted ?? 0, check.counter))}
        />
      ) : check ? (
        <>
          <button type="button" class="do" disabled={busy} onClick={() => run(() => pass(person, ""))}>
            {say("hand.without")}
          </button>
          <Keys question={question(check)} busy={busy} onNumber={(n) => run(() => keep(n))} />
        </>
      ) : null}
    </Dialog>
  );
}

/** Those who are here, and a name to type. */
function Who({ view, onPerson }: { view: View; onPerson: (name: string) => void }): JSX.Element {
  const [name, setName] = useState("");
  const [wrong, setWrong] = useState(false);
  const typed = name.trim();
  return (
    <>
      <ul class="choices">
        {others(view).map((one) => (
          <li key={one}>
            <button type="button" onClick={() => onPerson(one)}>
              {one}
            </button>
          </li>
        ))}
      </ul>
      <label class="field">
        <span>{say("hand.another")}</span>
        <input value={name} maxLength={40} autoComplete="off" aria-invalid={wrong} onInput={(e) => setName(e.currentTarget.value)} />
        {wrong ? (
          <span class="wrong" role="alert">
            {say("hand.none")}
          </span>
        ) : null}
      </label>
      <button type="button" class="do first" onClick={() => (typed ? onPerson(typed) : setWrong(true))}>
        {say("hand.next")}
      </button>
    </>
  );
}

interface DiffersProps {
  room: Room;
  person: string;
  checked: Checked;
  busy: boolean;
  onAgain: () => void;
  onPass: () => void;
}

/** Not what the tallies say, or not handed over: count again, or hand over with it as it stands. */
function Differs({ room, person, checked: { n, found }, busy, onAgain, onPass }: DiffersProps): JSX.Element {
  return (
    <div class="compared" role="status">
      <section class="row">
        <h3>{found ? say("recount.apart", { n: Math.abs(found.amount) }) : say("hand.uncompared", { n })}</h3>
        {found ? <Apart room={room} ledger={found.ledger} counted={found.counted} /> : null}
      </section>
      {found && found.amount !== 0 ? <p>{say("hand.apart")}</p> : null}
      <div class="acts">
        <button type="button" class="do" disabled={busy} onClick={onAgain}>
          {say("recount.again")}
        </button>
        <button type="button" class="do first" disabled={busy} onClick={onPass}>
          {say("hand.over", { person })}
        </button>
      </div>
    </div>
  );
}

function Done({
  person,
  counted,
  asked,
  onClose,
}: {
  person: string;
  counted: number | null;
  asked: boolean;
  onClose: () => void;
}): JSX.Element {
  return (
    <div class="compared" role="status">
      <h3>{say("hand.done", { person })}</h3>
      {counted !== null ? <p>{say("hand.counted", { n: counted })}</p> : null}
      {asked ? <p>{say("hand.uncounted")}</p> : null}
      <p>{say("hand.zero")}</p>
      <button type="button" class="do first" onClick={onClose}>
        {say("recount.done")}
      </button>
    </div>
  );
}
