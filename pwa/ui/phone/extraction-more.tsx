// Many at once, a reading of the device's counter, retrieved grafts, the end
// of a pass.
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { Direction, Fact, Outcome, Pass, Ref } from "../../bridge/protocol.gen";
import { Dialog, NumberField, wholeNumber } from "../parts/dialog";
import { type Key, say } from "../parts/say";

interface MoreProps {
  pass: Pass;
  region: Ref;
  tap: (fact: Fact) => Promise<boolean>;
  onClose: () => void;
}

const outcomes: readonly Outcome[] = ["intact", "partial", "total", "topped", "buried", "empty"];

/** The sheet behind "many, or a reading". */
export function ExtractionMore({ pass, region, tap, onClose }: MoreProps): JSX.Element {
  const [n, setN] = useState("");
  const [outcome, setOutcome] = useState<Outcome>("intact");
  const [counter, setCounter] = useState("1");
  const [direction, setDirection] = useState<Direction>("up");
  const [wrong, setWrong] = useState("");
  const number = wholeNumber(n);
  const act = async (fact: Fact): Promise<void> => {
    if (number === null) {
      setWrong(say("phone.numberWrong"));
      return;
    }
    if (await tap(fact)) onClose();
  };
  const at = { pass: pass.ref, region };
  return (
    <Dialog title={say("extraction.more")} onClose={onClose}>
      <NumberField label={say("phone.number")} error={wrong} value={n} onInput={setN} />
      <label class="field">
        <span>{say("extraction.outcome")}</span>
        <select value={outcome} onChange={(e) => setOutcome(e.currentTarget.value as Outcome)}>
          {outcomes.map((o) => (
            <option key={o} value={o}>
              {say(`outcome.${o}` as Key)}
            </option>
          ))}
        </select>
      </label>
      <div class="acts">
        <button type="button" class="do first" onClick={() => void act({ kind: "attempt", ...at, outcome, n: number ?? 0 })}>
          {say("extraction.addMany")}
        </button>
        <button type="button" class="do" onClick={() => void act({ kind: "fired", ...at, n: number ?? 0 })}>
          {say("extraction.addFired")}
        </button>
        <button
          type="button"
          class="do"
          onClick={() => void act({ kind: "retrieved", from: outcome === "topped" ? "topped" : "buried", ...at, n: number ?? 0 })}
        >
          {say("extraction.retrieved")}
        </button>
      </div>
      <fieldset class="pair">
        <legend>{say("extraction.reading")}</legend>
        <label class="field">
          <span>{say("extraction.counter")}</span>
          <input value={counter} maxLength={16} autoComplete="off" onInput={(e) => setCounter(e.currentTarget.value)} />
        </label>
        <label class="field">
          <span>{say("extraction.direction")}</span>
          <select value={direction} onChange={(e) => setDirection(e.currentTarget.value as Direction)}>
            <option value="up">{say("direction.up")}</option>
            <option value="down">{say("direction.down")}</option>
          </select>
        </label>
      </fieldset>
      <button type="button" class="do" onClick={() => void act({ kind: "reading", ...at, counter, direction, value: number ?? 0 })}>
        {say("extraction.addReading")}
      </button>
      <button
        type="button"
        class="do"
        onClick={() => {
          void tap({ kind: "pass ended", pass: pass.ref }).then((ok) => ok && onClose());
        }}
      >
        {say("extraction.endPass")}
      </button>
    </Dialog>
  );
}
