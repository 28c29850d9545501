// The session's set-ups and trials in the office, with the figures that only the
// office is told.
import "../parts/punch-words";
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { Setup, View } from "../../bridge/protocol.gen";
import { useBusy } from "../parts/busy";
import type { Room } from "../parts/room";
import { say, sayFault } from "../parts/say";
import { sizeOf } from "../punch/arm";
import { SoFar } from "../punch/comparison";
import { Cycle, fullOf } from "../punch/cycle";
import { TrialCard } from "../punch/trial-card";
import { Wrong } from "./field";

export function PunchCard({ room, view }: { room: Room; view: View }): JSX.Element {
  const offered = view.setups.filter((s) => s.offered);
  const full = fullOf(offered.map((s) => s.derived.cycleMs));
  return (
    <section class="o-card punch-card">
      <h2>{say("punch.title")}</h2>
      {offered.length === 0 && <p class="quiet">{say("punch.none-here")}</p>}
      <ul class="o-list">
        {offered.map((s) => (
          <Row key={s.ref} room={room} view={view} of={s} fullMs={full} />
        ))}
      </ul>
      {view.trials.map((t, i) => <TrialCard key={t.ref} room={room} view={view} of={t} n={i + 1} full />).reverse()}
      <SoFar room={room} view={view} />
    </section>
  );
}

/** One set-up that can be chosen; taking it away leaves what was counted with it. */
function Row({ room, view, of, fullMs }: { room: Room; view: View; of: Setup; fullMs: number }): JSX.Element {
  const [wrong, setWrong] = useState("");
  const [busy, run] = useBusy();
  const take = async (): Promise<void> => {
    const { fault } = await room.tap({ kind: "void", target: of.ref });
    setWrong(fault ? sayFault(fault) : "");
  };
  return (
    <li>
      <div class="o-entry">
        <p class="setup-line">
          <b>{of.name}</b> <span class="quiet">{say("punch.line", { mm: sizeOf(of), n: of.derived.cycleMs })}</span>
          <Cycle of={of.derived} fullMs={fullMs} small />
        </p>
        {view.session.endedMs === 0 && (
          <button
            type="button"
            class="o-link"
            disabled={busy}
            aria-label={say("punch.take-what", { what: of.name })}
            onClick={() => run(take)}
          >
            {say("punch.take")}
          </button>
        )}
        {wrong !== "" && <Wrong>{wrong}</Wrong>}
      </div>
    </li>
  );
}
