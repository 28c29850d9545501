// A change of person at a station: who takes over, then a short count of what
// lies there, blind as any recount. What was counted goes with the hand-over.
import "./rare-words";
import type { JSX } from "preact";
import { useEffect, useState } from "preact/hooks";
import type { Direction, Ref, View } from "../../bridge/protocol.gen";
import { useBusy } from "../parts/busy";
import { Dialog } from "../parts/dialog";
import type { Room } from "../parts/room";
import { say, sayFault } from "../parts/say";
import { Apart } from "./apart";
import { recall, remember } from "./chosen";
import { Keys } from "./keys";
import { lastOf } from "./reading";
import { benchSubject, dishSubject, type Subject } from "./recount-sheet";

/** What is counted for a hand-over: objects, or what a device's counter shows. */
type Check = { of: "objects"; subject: Subject } | { of: "counter"; pass: Ref; counter: string; direction: Direction };

/** What lies at the station of this phone, null where there is nothing to count. */
function checkOf(view: View): Check | null {
  switch (view.own.station) {
    case "extraction": {
      const pass = view.passes.find((p) => p.ref === recall(view, "pass") && !p.ended);
      const counter = pass ? recall(view, `counter.${pass.ref}`) : "";
      const last = pass && counter ? lastOf(view, pass, counter) : null;
      if (pass && last) return { of: "counter", pass: pass.ref, counter, direction: last.direction };
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

interface HandOverProps {
  room: Room;
  view: View;
  onClose: () => void;
}

/** The sheet: who, the count, and what came of it. */
export function HandOverSheet({ room, view, onClose }: HandOverProps): JSX.Element {
  const [person, setPerson] = useState("");
  const [checked, setChecked] = useState<Ref>("");
  const [wrong, setWrong] = useState("");
  const [done, setDone] = useState(false);
  const [busy, run] = useBusy();
  const check = checkOf(view);
  const pass = async (to: string, ref: Ref): Promise<void> => {
    const { fault } = await room.tap({ kind: "handed over", person: to, checks: ref ? [ref] : [] });
    setWrong(fault ? sayFault(fault) : "");
    setDone(fault === null);
    if (!fault) remember(view, "held", [...new Set([...held(view), view.own.person])].join("\n"));
  };
  const choose = (to: string): void => {
    setPerson(to);
    if (!check) run(() => pass(to, ""));
  };
  const keep = async (n: number): Promise<void> => {
    if (!check) return;
    const { ref, fault } = await room.tap(
      check.of === "counter"
        ? {
            kind: "reading",
            pass: check.pass,
            region: recall(view, "region"),
            counter: check.counter,
            direction: check.direction,
            value: n,
          }
        : { kind: "recount", of: check.subject.of, dish: check.subject.dish, zone: "", size: 0, n },
    );
    setWrong(fault ? sayFault(fault) : "");
    if (fault) return;
    setChecked(ref);
    if (check.of === "counter") await pass(person, ref);
  };
  const found = view.recounts.find((r) => r.ref === checked);
  const agrees = found?.amount === 0;
  useEffect(() => {
    if (agrees) run(() => pass(person, checked));
  }, [agrees]);
  return (
    <Dialog title={person ? say("hand.to", { person }) : say("hand.who")} onClose={onClose}>
      {wrong ? (
        <p class="wrong" role="alert">
          {wrong}
        </p>
      ) : null}
      {done ? (
        <Done person={person} counted={agrees ? found.counted : null} asked={check !== null && checked === ""} onClose={onClose} />
      ) : !person ? (
        <Who view={view} onPerson={choose} />
      ) : found && (found.amount !== 0 || wrong) ? (
        <Differs
          person={person}
          ledger={found.ledger}
          counted={found.counted}
          busy={busy}
          onAgain={() => setChecked("")}
          onPass={() => run(() => pass(person, checked))}
        />
      ) : check && !checked ? (
        <>
          <Keys question={question(check)} busy={busy} onNumber={(n) => run(() => keep(n))} />
          <button type="button" class="do" disabled={busy} onClick={() => run(() => pass(person, ""))}>
            {say("hand.without")}
          </button>
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
  person: string;
  ledger: number;
  counted: number;
  busy: boolean;
  onAgain: () => void;
  onPass: () => void;
}

/** Not what the tallies say: count again, or hand over with the difference open. */
function Differs({ person, ledger, counted, busy, onAgain, onPass }: DiffersProps): JSX.Element {
  return (
    <div class="compared" role="status">
      <section class="row">
        <h3>{say("recount.apart", { n: Math.abs(ledger - counted) })}</h3>
        <Apart ledger={ledger} counted={counted} />
      </section>
      <p>{say("hand.apart")}</p>
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
