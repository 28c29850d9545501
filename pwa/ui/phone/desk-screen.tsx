// The desk: notes and pauses of the room, and who is how fresh.
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { Fact } from "../../bridge/protocol.gen";
import { count, say, sayFault } from "../parts/say";
import { Glyph } from "../parts/strokes";
import { TruthLine } from "../parts/truth-line";
import type { StationProps } from "./phone-app";
import { PhoneList } from "./phone-list";
import { Who } from "./station";

/** The station of the circulator. */
export function DeskScreen({ room, shown, view }: StationProps): JSX.Element {
  const [note, setNote] = useState("");
  const [said, setSaid] = useState("");
  const tap = async (fact: Fact): Promise<void> => {
    const { fault } = await room.tap(fact);
    setSaid(fault ? sayFault(fault) : say("desk.kept"));
    if (!fault) setNote("");
  };
  return (
    <main class="phone lead">
      <TruthLine room={room} shown={shown} counted={view.session.events} />
      <Who room={room} view={view} station="station.desk" />
      <div class="scroll">
        <section class="row">
          <header>
            <h2>{say("desk.held", { n: view.ledger.holdingTotal })}</h2>
            <span>{say("sorting.bench", { n: view.ledger.bench })}</span>
          </header>
          <p class="quiet">{say("desk.placed", { n: count(view.ledger.placedTotal) })}</p>
        </section>
        <section class="row">
          <label class="field">
            <span>{say("desk.note")}</span>
            <textarea rows={3} maxLength={500} value={note} onInput={(e) => setNote(e.currentTarget.value)} />
          </label>
          <div class="acts">
            <button type="button" class="do first" onClick={() => void tap({ kind: "note", text: note.trim() })}>
              <Glyph of="note" />
              {say("phone.keepNote")}
            </button>
            <button type="button" class="do" onClick={() => void tap({ kind: "paused", room: true })}>
              <Glyph of="pause" />
              {say("desk.pauseRoom")}
            </button>
            <button type="button" class="do" onClick={() => void tap({ kind: "resumed", room: true })}>
              {say("desk.resumeRoom")}
            </button>
          </div>
          {said ? (
            <p class="quiet" role="status">
              {said}
            </p>
          ) : null}
        </section>
        <PhoneList view={view} />
      </div>
    </main>
  );
}
