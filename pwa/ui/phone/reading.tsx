// A reading of a device's own counter. One that goes against its direction is
// asked about before it is kept: the counter may have been set back, or typed
// wrong.
import "./rare-words";
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { Direction, Fact, Pass, Ref, View } from "../../bridge/protocol.gen";
import { useBusy } from "../parts/busy";
import { NumberField, wholeNumber } from "../parts/dialog";
import { clock, count, say } from "../parts/say";
import { Glyph } from "../parts/strokes";
import { recall, remember } from "./chosen";

interface ReadingProps {
  view: View;
  pass: Pass;
  region: Ref;
  tap: (fact: Fact, late?: boolean) => Promise<boolean>;
}

/** The last reading of a counter on this phone; a counter is of one pass and one phone. */
interface Last {
  value: number;
  direction: Direction;
  atMs: number;
}

/** The form, and the question. */
export function Reading({ view, pass, region, tap }: ReadingProps): JSX.Element {
  const known = recall(view, `counter.${pass.ref}`) || "1";
  const [counter, setCounter] = useState(known);
  const last = lastOf(view, pass, counter.trim());
  const [direction, setDirection] = useState<Direction>(last?.direction ?? "up");
  const [value, setValue] = useState("");
  const [wrong, setWrong] = useState("");
  const [asked, setAsked] = useState(false);
  const [kept, setKept] = useState(false);
  const [busy, run] = useBusy();
  const number = wholeNumber(value);
  const asks = number === null ? null : askedOf(last, direction, number);
  const keep = async (name: string): Promise<void> => {
    if (number === null || !(await tap({ kind: "reading", pass: pass.ref, region, counter: name, direction, value: number }))) return;
    noteReading(view, pass.ref, name, direction, number);
    setCounter(name);
    setAsked(false);
    setKept(true);
    setValue("");
  };
  const act = async (): Promise<void> => {
    setKept(false);
    setWrong("");
    if (number === null) setWrong(say("phone.numberWrong"));
    else if (counter.trim() === "") setWrong(say("reading.nameWrong"));
    else if (asks) setAsked(true);
    else await keep(counter.trim());
  };
  return (
    <fieldset class="reading">
      <legend>{say("extraction.reading")}</legend>
      <NumberField label={say("reading.shows")} error={wrong} value={value} onInput={setValue} />
      <div class="pair">
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
      </div>
      {asked && asks ? (
        <AskReading
          of={asks}
          busy={busy}
          onNew={() => run(() => keep(nextName(view, pass, counter.trim())))}
          onTyped={() => setAsked(false)}
          onRight={() => run(() => keep(counter.trim()))}
        />
      ) : (
        <button type="button" class="do" disabled={busy} onClick={() => run(act)}>
          {say("extraction.addReading")}
        </button>
      )}
      {kept ? <p role="status">{say("reading.kept")}</p> : null}
      {pass.told && pass.mode === "each" ? <Against view={view} pass={pass} /> : null}
    </fieldset>
  );
}

interface AskProps {
  of: Last; // the reading before
  busy: boolean;
  onNew: () => void; // another counter, or this one set back
  onTyped: () => void; // typed wrong
  onRight: () => void; // it shows just that
}

/** Asks about a reading that goes against its counter. */
export function AskReading({ of: last, busy, onNew, onTyped, onRight }: AskProps): JSX.Element {
  return (
    <section class="ask" role="alert">
      <Glyph of="ask" />
      <h3>{say(last.direction === "down" ? "reading.higher" : "reading.lower", { n: last.value, time: clock(last.atMs) })}</h3>
      <p>{say("reading.isNew")}</p>
      <div class="acts">
        <button type="button" class="do" disabled={busy} onClick={onNew}>
          {say("reading.new")}
        </button>
        <button type="button" class="do" disabled={busy} onClick={onTyped}>
          {say("reading.typed")}
        </button>
        <button type="button" class="do" disabled={busy} onClick={onRight}>
          {say("reading.right")}
        </button>
      </div>
    </section>
  );
}

/** What the counter says beside the taps, of a pass whose every attempt is tapped. */
function Against({ view, pass }: { view: View; pass: Pass }): JSX.Element {
  const { punched } = pass.counts;
  const apart = view.differences.find((d) => d.what === "reading" && d.at === pass.ref)?.amount ?? 0;
  return (
    <p class={apart !== 0 ? "warn" : "quiet"}>
      {apart !== 0
        ? say("reading.apart", { n: Math.abs(apart), counter: count(pass.counter), taps: count(punched) })
        : say(punched === pass.counter ? "reading.agree" : "reading.ahead", { counter: count(pass.counter), taps: count(punched) })}
    </p>
  );
}

/** The reading before that a value goes against, in the direction it is to go; null where the counter went its way. */
export const askedOf = (last: Last | null, direction: Direction, value: number): Last | null =>
  last !== null && (direction === "down" ? value > last.value : value < last.value) ? { ...last, direction } : null;

/** Remembers a reading that is kept. */
export function noteReading(view: View, pass: Ref, counter: string, direction: Direction, value: number): void {
  remember(view, `counter.${pass}`, counter);
  remember(view, `reading.${pass}.${counter}`, `${value} ${direction} ${Date.now()}`);
}

/** What this phone read last from a counter of a pass. */
export function lastOf(view: View, pass: Pass, counter: string): Last | null {
  const [value = "", direction = "", at = ""] = recall(view, `reading.${pass.ref}.${counter}`).split(" ");
  return value === "" ? null : { value: Number(value), direction: direction === "down" ? "down" : "up", atMs: Number(at) };
}

/** A name that no counter of this pass has on this phone. */
export function nextName(view: View, pass: Pass, counter: string): string {
  const [, stem = counter, n = "1"] = /^(.*?)(\d*)$/.exec(counter) ?? [];
  for (let i = Number(n || "1") + 1; ; i++) {
    const name = `${stem}${i}`.slice(-16);
    if (lastOf(view, pass, name) === null) return name;
  }
}
