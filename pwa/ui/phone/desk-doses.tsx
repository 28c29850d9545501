// The anaesthetic at the desk: what was given against its limits, logging a dose,
// the weight.
import "../parts/dose-words";
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { View } from "../../bridge/protocol.gen";
import { Cautions, DoseLine, Doses, summaryOf } from "../parts/doses";
import type { Room } from "../parts/room";
import { say } from "../parts/say";
import { Glyph } from "../parts/strokes";
import { DoseSheet } from "./dose-sheet";
import { WeightSheet } from "./weight-sheet";

const lines = 3;

export function DeskDoses({ room, view }: { room: Room; view: View }): JSX.Element {
  const [sheet, setSheet] = useState<"" | "dose" | "weight">("");
  const close = (): void => setSheet("");
  return (
    <section class="row anaesthetic">
      <header>
        <h2>{say("dose.title")}</h2>
        <span>{summaryOf(view)}</span>
      </header>
      <div class="acts">
        <button type="button" class="do first" onClick={() => setSheet("dose")}>
          <Glyph of="dose" />
          {say("dose.log")}
        </button>
        <button type="button" class="do" onClick={() => setSheet("weight")}>
          {say("dose.weigh")}
        </button>
      </div>
      <Doses room={room} view={view} />
      {view.doses.last.length > 0 ? (
        <ul class="given" aria-label={say("dose.newest")}>
          {view.doses.last.slice(0, lines).map((d) => (
            <li key={d.ref}>
              <DoseLine of={d} />
            </li>
          ))}
        </ul>
      ) : null}
      <Cautions view={view} />
      {sheet === "dose" ? <DoseSheet room={room} view={view} onClose={close} /> : null}
      {sheet === "weight" ? <WeightSheet room={room} view={view} onClose={close} /> : null}
    </section>
  );
}
