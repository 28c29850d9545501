// At the extraction station: which set-up is on, choosing another, and beginning
// a trial of several.
import "../parts/punch-words";
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { Fact, Pass, Ref, Setup, Trial, View } from "../../bridge/protocol.gen";
import { useBusy } from "../parts/busy";
import { Dialog, NumberField, wholeNumber } from "../parts/dialog";
import type { Room } from "../parts/room";
import { say, sayFault } from "../parts/say";
import { armLetter, armName, setupOf, sizeOf } from "./arm";
import { Cycle, fullOf } from "./cycle";
import { Drawing } from "./drawing";

interface SheetProps {
  room: Room;
  view: View;
  pass: Pass;
  tap: (fact: Fact) => Promise<boolean>;
  onClose: () => void;
}

/** The sheet behind the set-up: one tap chooses another; the drawing of what is on; a trial. */
export function SetupSheet({ room, view, pass, tap, onClose }: SheetProps): JSX.Element {
  const [trying, setTrying] = useState(false);
  const [busy, run] = useBusy();
  const on = view.chosen.find((c) => c.pass === pass.ref);
  const trial = view.trials.find((t) => t.pass === pass.ref && !t.concluded);
  const offered = view.setups.filter((s) => s.offered || s.ref === on?.setup);
  const full = fullOf(offered.map((s) => s.derived.cycleMs));
  const shown = setupOf(view, on?.setup ?? "");
  const choose = (setup: Ref): void => run(() => tap({ kind: "setup chosen", pass: pass.ref, setup }).then((ok) => ok && onClose()));
  if (trying) return <TrialSheet room={room} view={view} pass={pass} onClose={onClose} />;
  return (
    <Dialog title={say("punch.setup")} onClose={onClose}>
      {trial ? <TrialState view={view} trial={trial} /> : null}
      <ul class="choices setup-choices">
        {offered.map((s) => (
          <li key={s.ref}>
            <button type="button" aria-pressed={s.ref === on?.setup} disabled={busy} onClick={() => choose(s.ref)}>
              <SetupLine of={s} fullMs={full} />
            </button>
          </li>
        ))}
      </ul>
      {trial ? <p class="quiet">{say("trial.leaves")}</p> : null}
      {trial ? null : pass.mode === "exception" ? (
        <p class="quiet">{say("trial.notByException")}</p>
      ) : offered.length > 1 ? (
        <button type="button" class="do" onClick={() => setTrying(true)}>
          {say("trial.begin")}
        </button>
      ) : (
        <p class="quiet">{say("trial.needsTwo")}</p>
      )}
      {shown ? (
        <section class="setup-on">
          <h3>{say("punch.onNow", { what: shown.name })}</h3>
          <Drawing room={room} of={shown} />
        </section>
      ) : null}
      <p class="quiet">{say("punch.care")}</p>
    </Dialog>
  );
}

/** A set-up in one line: its name, its size and length, and a small picture on the scale of all. */
function SetupLine({ of, fullMs }: { of: Setup; fullMs: number }): JSX.Element {
  return (
    <span class="setup-line">
      <span class="setup-name">{of.name}</span>
      <span class="quiet">{say("punch.line", { mm: sizeOf(of), n: of.derived.cycleMs })}</span>
      <Cycle of={of.derived} fullMs={fullMs} small />
    </span>
  );
}

/** How a trial stands, arm by arm. */
function TrialState({ view, trial }: { view: View; trial: Trial }): JSX.Element {
  return (
    <section class="trial-state">
      <h3>{say("trial.goesOn")}</h3>
      <p>
        {trial.on >= 0
          ? say("trial.turnOf", { n: trial.turn, what: armName(view, trial, trial.on), left: trial.left, block: trial.block })
          : say("trial.noTurn")}
      </p>
      <ul>
        {trial.arms.map((a, i) => (
          <li key={a.setup}>
            <span>{armName(view, trial, i)}</span> <b>{say("trial.attempts", { n: a.attempts })}</b>
          </li>
        ))}
      </ul>
    </section>
  );
}

/** Which set-ups are tried in turn, and how long a turn is. */
function TrialSheet({ room, view, pass, onClose }: Omit<SheetProps, "tap">): JSX.Element {
  const offered = view.setups.filter((s) => s.offered);
  const [arms, setArms] = useState<Ref[]>([]);
  const [block, setBlock] = useState("20");
  const [wrong, setWrong] = useState<{ arms?: string; block?: string; all?: string }>({});
  const [busy, run] = useBusy();
  const toggle = (ref: Ref): void => {
    setWrong({});
    setArms(arms.includes(ref) ? arms.filter((a) => a !== ref) : [...arms, ref]);
  };
  const begin = async (): Promise<void> => {
    const n = wholeNumber(block);
    if (n === null) return setWrong({ block: say("phone.numberWrong") });
    const seed = crypto.getRandomValues(new Uint32Array(1))[0] ?? 0;
    const { fault } = await room.tap({ kind: "trial", pass: pass.ref, setups: arms, block: n, seed });
    if (!fault) return onClose();
    const where = fault.code === "trial-arms" ? "arms" : fault.code === "trial-block" ? "block" : "all";
    setWrong({ [where]: sayFault(fault) });
  };
  return (
    <Dialog title={say("trial.begin")} onClose={onClose}>
      <p>{say("trial.how")}</p>
      <fieldset class="trial-arms">
        <legend>{say("trial.which")}</legend>
        {offered.map((s) => (
          <label key={s.ref} class="tick">
            <input type="checkbox" checked={arms.includes(s.ref)} onChange={() => toggle(s.ref)} />
            <span>
              {arms.includes(s.ref) ? <b>{armLetter(arms.indexOf(s.ref))} </b> : null}
              {s.name} <span class="quiet">{say("punch.line", { mm: sizeOf(s), n: s.derived.cycleMs })}</span>
            </span>
          </label>
        ))}
        {wrong.arms ? <p class="wrong">{wrong.arms}</p> : null}
      </fieldset>
      <NumberField label={say("trial.blockSize")} error={wrong.block ?? ""} value={block} onInput={setBlock} />
      {wrong.all ? (
        <p class="wrong" role="alert">
          {wrong.all}
        </p>
      ) : null}
      <button type="button" class="do first" disabled={busy} onClick={() => run(begin)}>
        {say("trial.beginNow")}
      </button>
      <p class="quiet">{say("trial.why")}</p>
    </Dialog>
  );
}
