// The punch set-up beside pass and region: what is on, and in a trial the one
// tap that begins the next turn once a block is full.
import type { JSX } from "preact";
import type { Chosen, Fact, Pass, Trial, View } from "../../bridge/protocol.gen";
import type { Room } from "../parts/room";
import { say } from "../parts/say";
import { Glyph } from "../parts/strokes";
import { Figure } from "../parts/where";
import { armGone, armName, nextTurn, setupOf, toConclude } from "../punch/arm";

/** What is on in a pass. */
export interface On {
  chosen: Chosen | undefined;
  trial: Trial | undefined; // the one that goes on in this pass, whatever is on
}

export function onIn(view: View, pass: Pass | undefined): On {
  const chosen = view.chosen.find((c) => c.pass === pass?.ref);
  const open = view.trials.filter((t) => t.pass === pass?.ref && !t.concluded);
  return { chosen, trial: open.find((t) => t.ref === chosen?.trial) ?? open[0] };
}

/** What a tap on an outcome says of the set-up. */
export function tried({ chosen, trial }: On): { setup?: string; trial?: string } {
  if (!chosen) return {};
  return chosen.trial !== "" && chosen.trial === trial?.ref ? { setup: chosen.setup, trial: chosen.trial } : { setup: chosen.setup };
}

/** Whether the trial asks for its next turn: its block is full, or something else is on. */
const asks = (t: Trial): boolean => t.on < 0 || t.left === 0;

interface PickProps {
  view: View;
  on: On;
  tap: (fact: Fact) => Promise<boolean>;
  onOpen: () => void;
}

/** What the next turn asks for. */
const nextWords = (view: View, t: Trial): string =>
  say(t.next === t.on ? "setup.again" : "setup.change", { what: armName(view, t, t.next) });

/** How far the block of a trial is, for the quiet line; it says in full what the button asks for. */
export function TrialLine({ room, view, of: t }: { room: Room; view: View; of: Trial }): JSX.Element {
  const end = toConclude(view, t);
  if (end !== "") return <b role="status">{end}</b>;
  if (asks(t)) return <b role="status">{say(t.on < 0 ? "setup.waits" : "setup.full", { what: nextWords(view, t) })}</b>;
  return (
    <b>
      <Figure room={room} of="turn" at={t.ref}>
        {say("setup.of", { left: t.left, block: t.block })}
      </Figure>{" "}
      {say("setup.left")}
    </b>
  );
}

/** The button in the row of what is counted; nothing in a session without set-ups. */
export function SetupPick({ view, on: { chosen, trial }, tap, onOpen }: PickProps): JSX.Element | null {
  if (view.setups.length === 0) return null;
  if (trial && asks(trial) && !armGone(view, trial)) {
    return (
      <button type="button" class="setup-pick asks" aria-label={nextWords(view, trial)} onClick={() => void tap(nextTurn(trial))}>
        <Glyph of="ask" />
        <span class="long">{nextWords(view, trial)}</span>
        <span class="brief">{armName(view, trial, trial.next)}</span>
      </button>
    );
  }
  const name = trial && trial.on >= 0 ? armName(view, trial, trial.on) : (setupOf(view, chosen?.setup ?? "")?.name ?? say("setup.none"));
  return (
    <button type="button" class="setup-pick" aria-label={say("setup.is", { what: name })} onClick={onOpen}>
      <span>{name}</span>
    </button>
  );
}
