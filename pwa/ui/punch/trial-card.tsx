// One trial as the lead and the office read it: how far it is, what its arms
// gave, and concluding it with a note.
import type { JSX } from "preact";
import { useId, useState } from "preact/hooks";
import type { Trial, View } from "../../bridge/protocol.gen";
import { useBusy } from "../parts/busy";
import type { Room } from "../parts/room";
import { clock, say, sayFault } from "../parts/say";
import { armLetter, armName, toConclude } from "./arm";
import { Arms, Differences, useCompared } from "./comparison";

interface CardProps {
  room: Room;
  view: View;
  of: Trial;
  n: number; // which of the session's trials, from 1
  full?: boolean; // with the figures of the office
}

/** How a trial stands, in a sentence. */
export function trialSays(view: View, t: Trial): string {
  if (t.concluded) return say("trial.concludedAt", { time: clock(t.concludedMs) });
  const end = toConclude(view, t);
  if (end !== "") return end;
  if (t.on < 0) return say("trial.noTurn");
  return t.left === 0
    ? say("trial.blockFull", { next: armName(view, t, t.next) })
    : say("trial.turnOf", { n: t.turn, what: armName(view, t, t.on), left: t.left, block: t.block });
}

/** The same in few words, for the line of a part that is closed. */
export function trialBrief(t: Trial): string {
  if (t.concluded) return say("trial.concludedAt", { time: clock(t.concludedMs) });
  if (t.on < 0) return say("trial.noTurnBrief");
  if (t.left === 0) return say("trial.fullBrief", { arm: armLetter(t.next) });
  return say("trial.turnBrief", { n: t.turn, arm: armLetter(t.on), left: t.left, block: t.block });
}

export function TrialCard({ room, view, of, n, full = false }: CardProps): JSX.Element {
  const compared = useCompared(room, view, of.ref, full);
  return (
    <article class="trial-card" aria-label={say("trial.name", { n })}>
      <header>
        <h3>{say("trial.name", { n })}</h3>
        <p class={of.concluded ? "quiet" : ""}>{trialSays(view, of)}</p>
      </header>
      {compared ? (
        <Arms room={room} of={compared.rows.map((r, i) => ({ of: r, name: armName(view, of, i), at: of.ref, arm: i + 1 }))} />
      ) : (
        <p role="status">{say("trial.loading")}</p>
      )}
      {compared ? <Differences room={room} trial={of} of={compared} /> : null}
      {of.concluded ? (
        <p class="trial-note">
          <b>{say("trial.note")}</b> {of.note}
        </p>
      ) : view.session.endedMs > 0 ? null : (
        <Conclude room={room} of={of} />
      )}
      <p class="quiet small">{say("trial.drawn", { seed: String(of.seed), time: clock(of.begunMs) })}</p>
    </article>
  );
}

/** Concluding wants a note: what was made of it. */
function Conclude({ room, of }: { room: Room; of: Trial }): JSX.Element {
  const [note, setNote] = useState("");
  const [wrong, setWrong] = useState("");
  const [busy, run] = useBusy();
  const id = useId();
  const conclude = async (): Promise<void> => {
    if (note.trim() === "") return setWrong(say("trial.noteNeeded"));
    const { fault } = await room.tap({ kind: "trial concluded", trial: of.ref, note: note.trim() });
    setWrong(fault ? sayFault(fault) : "");
  };
  return (
    <div class="trial-conclude">
      <label class="field" for={id}>
        <span>{say("trial.concludeNote")}</span>
      </label>
      <div class="field">
        <textarea
          id={id}
          rows={2}
          maxLength={500}
          value={note}
          aria-invalid={wrong !== ""}
          aria-describedby={wrong === "" ? undefined : `${id}-wrong`}
          onInput={(e) => {
            setNote(e.currentTarget.value);
            setWrong("");
          }}
        />
      </div>
      {wrong === "" ? null : (
        <p class="wrong" id={`${id}-wrong`} role="alert">
          {wrong}
        </p>
      )}
      <button type="button" class="do" disabled={busy} onClick={() => run(conclude)}>
        {say("trial.conclude")}
      </button>
    </div>
  );
}
