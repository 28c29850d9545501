// Extraction: what the punch did, in the way that the pass is counted.
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { Fact, Mode, Outcome, Pass, Ref } from "../../bridge/protocol.gen";
import { type Choice, Choices, Dialog, Told } from "../parts/dialog";
import { Pad } from "../parts/pad";
import { count, type Key, say, sayFault } from "../parts/say";
import { Glyph, Run, type Stroke } from "../parts/strokes";
import { useChosen } from "./chosen";
import { ExtractionMore } from "./extraction-more";
import type { StationProps } from "./phone-app";
import { Station, toTake } from "./station";

const others: readonly (Outcome & Stroke)[] = ["partial", "total", "topped", "buried", "empty"];

/** The station of the operator and the puller. */
export function ExtractionScreen({ room, shown, view }: StationProps): JSX.Element {
  const passes = view.passes.filter((p) => !p.ended);
  const [region, setRegion] = useChosen(
    view,
    "region",
    view.regions.map((r) => r.ref),
  );
  const [passRef, setPass] = useChosen(
    view,
    "pass",
    passes.map((p) => p.ref),
  );
  const [sheet, setSheet] = useState<"" | "region" | "pass" | "begin" | "more">("");
  const [wrong, setWrong] = useState("");
  const pass = passes.find((p) => p.ref === passRef);
  const tap = async (fact: Fact): Promise<boolean> => {
    const { fault } = await room.tap(fact);
    setWrong(fault ? sayFault(fault) : "");
    return fault === null;
  };
  const where = (
    <nav class="where" aria-label={say("phone.where")}>
      <button type="button" onClick={() => setSheet("region")}>
        {view.regions.find((r) => r.ref === region)?.name ?? say("extraction.noRegion")}
      </button>
      <button type="button" class="fixed" onClick={() => setSheet("pass")}>
        {pass ? passName(pass, view.passes.indexOf(pass)) : say("extraction.noPass")}
      </button>
    </nav>
  );
  return (
    <Told.Provider value={wrong}>
      <Station
        room={room}
        shown={shown}
        view={view}
        station="station.extraction"
        where={where}
        own={<OwnWords mode={pass?.mode ?? ""} />}
        figure={toTake(view)}
      >
        {pass ? (
          <Outcomes
            pass={pass}
            region={region}
            own={view.own.tally.outcomes}
            fired={view.own.tally.fired}
            unsent={shown.truth?.unsent ?? 0}
            tap={tap}
            onMore={() => setSheet("more")}
          />
        ) : (
          <section class="pads begin">
            <button type="button" class="pad" onClick={() => setSheet("begin")}>
              {say("extraction.begin")}
              <span class="note">{say("extraction.beginWhy")}</span>
            </button>
          </section>
        )}
        {wrong ? <p class="said">{wrong}</p> : null}
        {sheet === "region" ? (
          <Choices
            title={say("extraction.region")}
            of={[
              ...view.regions.map((r) => ({ value: r.ref, label: `${r.code} · ${r.name}`, note: say("extraction.left", { n: r.left }) })),
              { value: "", label: say("extraction.noRegion") },
            ]}
            chosen={region}
            onChoose={setRegion}
            onClose={() => setSheet("")}
          />
        ) : null}
        {sheet === "pass" ? (
          <Choices
            title={say("extraction.pass")}
            of={[
              ...passes.map((p): Choice<Ref> => ({ value: p.ref, label: passName(p, view.passes.indexOf(p)), note: p.operator })),
              { value: "new", label: say("extraction.begin") },
            ]}
            chosen={passRef}
            onChoose={(v) => (v === "new" ? setTimeout(() => setSheet("begin")) : setPass(v))}
            onClose={() => setSheet("")}
          />
        ) : null}
        {sheet === "begin" ? <BeginPass tap={room.tap.bind(room)} onBegun={setPass} onClose={() => setSheet("")} /> : null}
        {sheet === "more" && pass ? <ExtractionMore pass={pass} region={region} tap={tap} onClose={() => setSheet("")} /> : null}
      </Station>
    </Told.Provider>
  );
}

function passName(p: Pass, index: number): string {
  return say("extraction.passName", { n: index + 1, mode: say(`mode.${p.mode}` as Key) });
}

function OwnWords({ mode }: { mode: Mode }): JSX.Element {
  return <>{say(mode === "exception" ? "extraction.yourShots" : "extraction.yourAttempts")}</>;
}

interface OutcomesProps {
  pass: Pass;
  region: Ref;
  own: number[];
  fired: number;
  unsent: number;
  tap: (fact: Fact) => Promise<boolean>;
  onMore: () => void;
}

/** The pads: one big for what happens most, five others, and more. */
function Outcomes({ pass, region, own, fired, unsent, tap, onMore }: OutcomesProps): JSX.Element {
  const outcome = (o: Outcome): void => void tap({ kind: "attempt", pass: pass.ref, region, outcome: o, n: 1 });
  const byException = pass.mode === "exception";
  return (
    <section class="pads" style="grid-template-rows: auto 1fr" aria-label={say("phone.count")}>
      <div class="three">
        {others.map((o, i) => (
          <Pad key={o} className="pad2" onCount={() => outcome(o)}>
            <span class="top">
              <Glyph of={o} />
              <b>{count(own[i + 1] ?? 0)}</b>
            </span>
            {say(`outcome.${o}` as Key)}
          </Pad>
        ))}
        <button type="button" class="pad2" onClick={onMore}>
          <span class="top">
            <Glyph of="more" />
          </span>
          {say("extraction.more")}
        </button>
      </div>
      <Pad onCount={() => (byException ? void tap({ kind: "fired", pass: pass.ref, region, n: 1 }) : outcome("intact"))}>
        <Run n={byException ? fired : (own[0] ?? 0)} hollow={unsent} />
        {say(byException ? "extraction.fired" : "outcome.intact")}
        <span class="note">{say("extraction.byYou", { n: byException ? fired : (own[0] ?? 0) })}</span>
      </Pad>
    </section>
  );
}

interface BeginProps {
  tap: (fact: Fact) => Promise<{ ref: Ref; fault: Parameters<typeof sayFault>[0] | null }>;
  onBegun: (ref: Ref) => void;
  onClose: () => void;
}

const modes: readonly Mode[] = ["each", "pulled", "exception"];

/** A new pass: how it is counted, and with which punch. */
function BeginPass({ tap, onBegun, onClose }: BeginProps): JSX.Element {
  const [mode, setMode] = useState<Mode>("each");
  const [punch, setPunch] = useState("");
  const [wrong, setWrong] = useState("");
  const begin = async (): Promise<void> => {
    const um = Math.round(Number(punch.trim().replace(",", ".")) * 1000);
    if (!Number.isFinite(um)) {
      setWrong(say("extraction.punchWrong"));
      return;
    }
    const { ref, fault } = await tap({ kind: "pass begun", mode, diameterUm: um });
    if (fault) {
      setWrong(sayFault(fault));
      return;
    }
    onBegun(ref);
    onClose();
  };
  return (
    <Dialog title={say("extraction.begin")} onClose={onClose}>
      <fieldset class="modes">
        <legend>{say("extraction.how")}</legend>
        {modes.map((m) => (
          <label key={m} class={m === mode ? "on" : ""}>
            <input type="radio" name="mode" checked={m === mode} onChange={() => setMode(m)} />
            <span>{say(`mode.${m}` as Key)}</span>
            <span class="quiet">{say(`mode.${m}Why` as Key)}</span>
          </label>
        ))}
      </fieldset>
      <label class="field">
        <span>{say("extraction.punch")}</span>
        <input inputMode="decimal" value={punch} autoComplete="off" onInput={(e) => setPunch(e.currentTarget.value)} />
        {wrong ? <span class="wrong">{wrong}</span> : null}
      </label>
      <button type="button" class="do first" onClick={() => void begin()}>
        {say("extraction.beginNow")}
      </button>
    </Dialog>
  );
}
