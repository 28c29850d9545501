// A look at the last grafts, which is what clears an alarm; and a sample under
// the microscope.
import "../parts/quality-words";
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { Fact, Ref, View } from "../../bridge/protocol.gen";
import { useBusy } from "../parts/busy";
import { Dialog, NumberField, wholeNumber } from "../parts/dialog";
import type { Room } from "../parts/room";
import { clock, say, sayFault } from "../parts/say";
import { asksIn, passName } from "./pass";

interface SheetProps {
  room: Room;
  view: View;
  pass?: Ref; // the one that is being counted here
  onClose: () => void;
}

/** The pass that is counted here if it asks, the one that asks newest, or the one that is counted here, or the last that began. */
export function firstPass(view: View, here: Ref): Ref {
  if (asksIn(view, here)) return here;
  const asking = view.quality.watched.filter((w) => w.asks).sort((a, b) => b.askingMs - a.askingMs)[0];
  return asking?.pass ?? (here || (view.passes.at(-1)?.ref ?? ""));
}

/** What is said, and what went wrong. */
function useTell(room: Room, onClose: () => void): [string, (s: string) => void, boolean, (fact: Fact) => void] {
  const [wrong, setWrong] = useState("");
  const [busy, run] = useBusy();
  const tell = (fact: Fact): void =>
    void run(async () => {
      const { fault } = await room.tap(fact);
      if (fault) setWrong(sayFault(fault));
      else onClose();
    });
  return [wrong, setWrong, busy, tell];
}

/** The look: of how many of the last grafts, how many are damaged. */
export function LookSheet({ room, view, pass: here = "", onClose }: SheetProps): JSX.Element {
  const [pass, setPass] = useState(firstPass(view, here));
  const [grafts, setGrafts] = useState("");
  const [damaged, setDamaged] = useState("0");
  const [note, setNote] = useState("");
  const [wrong, setWrong, busy, tell] = useTell(room, onClose);
  const asks = asksIn(view, pass);
  const act = (): void => {
    const [n, bad] = [wholeNumber(grafts), wholeNumber(damaged)];
    if (n === null || bad === null) setWrong(say("phone.numberWrong"));
    else tell({ kind: "looked", pass, grafts: n, damaged: bad, note });
  };
  return (
    <Dialog title={say("quality.look")} onClose={onClose}>
      <PassField view={view} pass={pass} onPass={setPass} />
      <p>{asks ? say("quality.lookWhy", { cut: asks.cut, of: asks.trials, time: clock(asks.sinceMs) }) : say("quality.lookNone")}</p>
      <div class="pair">
        <NumberField label={say("quality.lookedAt")} error="" value={grafts} onInput={setGrafts} />
        <NumberField label={say("quality.damaged")} error="" value={damaged} onInput={setDamaged} />
      </div>
      <label class="field">
        <span>{say("quality.note")}</span>
        <input value={note} maxLength={500} autoComplete="off" onInput={(e) => setNote(e.currentTarget.value)} />
      </label>
      <Wrong words={wrong} />
      <button type="button" class="do first" disabled={busy || pass === ""} onClick={act}>
        {say("quality.enterLook")}
      </button>
      <p class="quiet">{say("quality.lookThen")}</p>
    </Dialog>
  );
}

/** A sample: of so many grafts, the whole and the cut follicles. */
export function InspectSheet({ room, view, pass: here = "", onClose }: SheetProps): JSX.Element {
  const [pass, setPass] = useState(here || (view.passes.at(-1)?.ref ?? ""));
  const [region, setRegion] = useState<Ref>("");
  const [grafts, setGrafts] = useState("");
  const [whole, setWhole] = useState("");
  const [cut, setCut] = useState("");
  const [wrong, setWrong, busy, tell] = useTell(room, onClose);
  const act = (): void => {
    const [n, good, bad] = [wholeNumber(grafts), wholeNumber(whole), wholeNumber(cut)];
    if (n === null || good === null || bad === null) setWrong(say("phone.numberWrong"));
    else tell({ kind: "inspected", pass, region, grafts: n, whole: good, cut: bad });
  };
  return (
    <Dialog title={say("quality.inspect")} onClose={onClose}>
      <p>{say("quality.inspectWhy")}</p>
      <PassField view={view} pass={pass} onPass={setPass} />
      {view.regions.length > 0 ? (
        <label class="field">
          <span>{say("extraction.region")}</span>
          <select value={region} onChange={(e) => setRegion(e.currentTarget.value)}>
            <option value="">{say("extraction.noRegion")}</option>
            {view.regions.map((r) => (
              <option key={r.ref} value={r.ref}>
                {r.code} {r.name}
              </option>
            ))}
          </select>
        </label>
      ) : null}
      <NumberField label={say("quality.grafts")} error="" value={grafts} onInput={setGrafts} />
      <div class="pair">
        <NumberField label={say("quality.whole")} error="" value={whole} onInput={setWhole} />
        <NumberField label={say("quality.cut")} error="" value={cut} onInput={setCut} />
      </div>
      <Wrong words={wrong} />
      <button type="button" class="do first" disabled={busy || pass === ""} onClick={act}>
        {say("quality.enterSample")}
      </button>
    </Dialog>
  );
}

function PassField({ view, pass, onPass }: { view: View; pass: Ref; onPass: (p: Ref) => void }): JSX.Element {
  if (view.passes.length === 0) return <p class="wrong">{say("quality.noPass")}</p>;
  return (
    <label class="field">
      <span>{say("extraction.pass")}</span>
      <select value={pass} onChange={(e) => onPass(e.currentTarget.value)}>
        {view.passes.map((p) => (
          <option key={p.ref} value={p.ref}>
            {passName(view, p)}
          </option>
        ))}
      </select>
    </label>
  );
}

function Wrong({ words }: { words: string }): JSX.Element | null {
  return words === "" ? null : (
    <p class="wrong" role="alert">
      {words}
    </p>
  );
}
