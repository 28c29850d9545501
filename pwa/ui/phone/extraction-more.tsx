// Many at once, a reading of the device's counter, retrieved grafts, the end
// of a pass.
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { Fact, Outcome, Pass, Ref, View } from "../../bridge/protocol.gen";
import { useBusy } from "../parts/busy";
import { Dialog, NumberField, wholeNumber } from "../parts/dialog";
import { say, type Under } from "../parts/say";
import { LateBox } from "./late";
import { asksIn, outcomesOf } from "./pass";
import { Reading } from "./reading";

interface MoreProps {
  view: View;
  pass: Pass;
  region: Ref;
  with: { setup?: Ref; trial?: Ref }; // the punch set-up that is on, and its trial; what is late was not counted with it
  tap: (fact: Fact, late?: boolean) => Promise<boolean>;
  onLook: () => void;
  onClose: () => void;
}

/** The sheet behind "many, or a reading". */
export function ExtractionMore({ view, pass, region, with: setup, tap, onLook, onClose }: MoreProps): JSX.Element {
  const [n, setN] = useState("");
  const outcomes = outcomesOf(pass.mode);
  const [outcome, setOutcome] = useState<Outcome>(outcomes[0] ?? "");
  const [late, setLate] = useState(false);
  const [wrong, setWrong] = useState("");
  const [busy, run] = useBusy();
  const number = wholeNumber(n);
  const act = async (fact: Fact): Promise<void> => {
    if (number === null) setWrong(say("phone.numberWrong"));
    else if (await tap(fact, late)) onClose();
  };
  const at = { pass: pass.ref, region };
  return (
    <Dialog title={say("extraction.more")} onClose={onClose}>
      {asksIn(view, pass.ref) ? (
        <button type="button" class="do" onClick={onLook}>
          {say("extraction.lookNow")}
        </button>
      ) : null}
      <NumberField label={say("phone.number")} error={wrong} value={n} onInput={setN} />
      <label class="field">
        <span>{say("extraction.outcome")}</span>
        <select value={outcome} onChange={(e) => setOutcome(e.currentTarget.value as Outcome)}>
          {outcomes.map((o) => (
            <option key={o} value={o}>
              {say(`outcome.${o}` as Under<"outcome.">)}
            </option>
          ))}
        </select>
      </label>
      <LateBox view={view} stocks={["bench"]} late={late} onLate={setLate} />
      <div class="acts">
        <button
          type="button"
          class="do first"
          disabled={busy}
          onClick={() => run(() => act({ kind: "attempt", ...at, outcome, n: number ?? 0, ...(late ? {} : setup) }))}
        >
          {say("extraction.addMany")}
        </button>
        <button type="button" class="do" disabled={busy} onClick={() => run(() => act({ kind: "fired", ...at, n: number ?? 0 }))}>
          {say("extraction.addFired")}
        </button>
        <button
          type="button"
          class="do"
          disabled={busy}
          onClick={() => run(() => act({ kind: "retrieved", from: outcome === "topped" ? "topped" : "buried", ...at, n: number ?? 0 }))}
        >
          {say("extraction.retrieved")}
        </button>
      </div>
      <Reading view={view} pass={pass} region={region} tap={tap} />
      <button
        type="button"
        class="do"
        disabled={busy}
        onClick={() => run(() => tap({ kind: "pass ended", pass: pass.ref }).then((ok) => ok && onClose()))}
      >
        {say("extraction.endPass")}
      </button>
      {pass.counts.pending !== 0 ? <p class="quiet">{say("extraction.pending", { n: pass.counts.pending })}</p> : null}
    </Dialog>
  );
}
