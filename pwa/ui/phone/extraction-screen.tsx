// Extraction: what the punch did, in the way that the pass is counted.
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { Fact, Outcome, Pass, Ref, Region, Trial, View } from "../../bridge/protocol.gen";
import { AtOnce } from "../parts/at-once";
import { type Choice, Choices, Told } from "../parts/dialog";
import { Pad } from "../parts/pad";
import { per } from "../parts/per";
import type { Room } from "../parts/room";
import { clock, say, sayFault, type Under } from "../parts/say";
import { Glyph, Run, type Stroke } from "../parts/strokes";
import { Figure } from "../parts/where";
import { useChosen, useChosenPass } from "./chosen";
import { BeginPass, ExtractionMore, LookSheet, SetupSheet } from "./later";
import { asksToPause, PaceWords, PauseWords } from "./line";
import { asksIn, passName, passNumber } from "./pass";
import type { StationProps } from "./phone-app";
import { onIn, SetupPick, TrialLine, tried } from "./setup-pick";
import { Long, Station, toTake } from "./station";

const others: readonly (Outcome & Stroke)[] = ["partial", "total", "topped", "buried", "empty"];

/** The station of the operator and the puller. */
export function ExtractionScreen({ room, shown, view }: StationProps): JSX.Element {
  const passes = view.passes.filter((p) => !p.ended);
  const [region, setRegion] = useChosen(
    view,
    "region",
    view.regions.map((r) => r.ref),
  );
  const [passRef, setPass] = useChosenPass(view);
  const [sheet, setSheet] = useState<"" | "region" | "pass" | "begin" | "more" | "setup" | "look" | "past">("");
  const [wrong, setWrong] = useState("");
  const [past, setPast] = useState<Ref>(""); // a pass that has ended, for what was forgotten
  const pass = passes.find((p) => p.ref === passRef);
  const more = sheet === "past" ? view.passes.find((p) => p.ref === past) : pass;
  const on = onIn(view, pass);
  const tap = async (fact: Fact, late = false): Promise<boolean> => {
    const { fault } = await room.tap(fact, late);
    setWrong(fault ? sayFault(fault) : "");
    return fault === null;
  };
  const where = (
    <nav class="where" aria-label={say("phone.where")}>
      <button type="button" onClick={() => setSheet("region")}>
        {view.regions.find((r) => r.ref === region)?.name ?? say("extraction.noRegion")}
      </button>
      <button type="button" class="fixed" onClick={() => setSheet("pass")}>
        {pass ? (
          <>
            <span class="long">{passName(view, pass)}</span>
            <span class="brief">{passNumber(view, pass)}</span>
          </>
        ) : (
          say("extraction.noPass")
        )}
      </button>
      {pass ? <SetupPick view={view} on={on} tap={tap} onOpen={() => setSheet("setup")} /> : null}
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
        own={<OwnWords pass={pass} />}
        {...(pass?.mode === "exception" ? { tally: (v: View) => v.passes.find((p) => p.ref === pass.ref)?.counts.punched ?? 0 } : {})}
        figure={toTake(view)}
        line={<Line room={room} view={view} region={view.regions.find((r) => r.ref === region)} pass={pass} trial={on.trial} />}
      >
        {pass ? (
          <Outcomes
            pass={pass}
            region={region}
            own={view.own.tally.outcomes}
            fired={view.own.tally.fired}
            unsent={shown.truth?.unsent ?? 0}
            with={tried(on)}
            tap={tap}
            onMore={() => setSheet("more")}
          />
        ) : (
          <section class="pads begin">
            <button type="button" class="pad" onClick={() => setSheet(passes.length > 0 ? "pass" : "begin")}>
              {say(passes.length > 0 ? "extraction.choosePass" : "extraction.begin")}
              <span class="note">{say(passes.length > 0 ? "extraction.choosePassWhy" : "extraction.beginWhy")}</span>
            </button>
          </section>
        )}
        {wrong ? <p class="said">{wrong}</p> : null}
        {sheet === "region" ? (
          <Choices
            title={say("extraction.region")}
            of={[
              ...view.regions.map((r) => ({ value: r.ref, label: `${r.code} · ${r.name}`, note: regionNote(r) })),
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
              ...passes.map((p): Choice<Ref> => ({ value: p.ref, label: passName(view, p), note: p.operator })),
              { value: "new", label: say("extraction.begin") },
              ...view.passes
                .filter((p) => p.ended)
                .map((p): Choice<Ref> => ({ value: p.ref, label: passName(view, p), note: say("extraction.forgotten") })),
            ]}
            chosen={passRef}
            onChoose={(v) => {
              const ended = view.passes.some((p) => p.ref === v && p.ended);
              if (ended) setPast(v);
              if (v === "new" || ended) setTimeout(() => setSheet(ended ? "past" : "begin"));
              else setPass(v);
            }}
            onClose={() => setSheet("")}
          />
        ) : null}
        {sheet === "begin" ? (
          <BeginPass
            tap={room.tap.bind(room)}
            onBegun={(ref) => {
              setPass(ref);
              if (view.setups.some((s) => s.offered)) setTimeout(() => setSheet("setup")); // which punch set-up comes with the pass
            }}
            onClose={() => setSheet("")}
          />
        ) : null}
        {sheet === "look" ? <LookSheet room={room} view={view} pass={passRef} onClose={() => setSheet("")} /> : null}
        {more && (sheet === "more" || sheet === "past") ? (
          <ExtractionMore
            view={view}
            pass={more}
            region={region}
            with={more === pass ? tried(on) : {}}
            tap={tap}
            onLook={() => setSheet("look")}
            onClose={() => setSheet((now) => (now === sheet ? "" : now))}
          />
        ) : null}
        {sheet === "setup" && pass ? <SetupSheet room={room} view={view} pass={pass} tap={tap} onClose={() => setSheet("")} /> : null}
      </Station>
    </Told.Provider>
  );
}

/** What is left of a region, and how much of it was taken. */
function regionNote(r: Region): string {
  return `${say("extraction.left", { n: r.left })} · ${say("extraction.taken", { n: per(r.shareTaken, 10000) })}`;
}

interface LineProps {
  room: Room;
  view: View;
  region: Region | undefined;
  pass: Pass | undefined;
  trial: Trial | undefined; // the one that goes on in the pass
}

/** How far the region is used up, what a counter says otherwise, and the pace, or the block of a trial. */
function Line({ room, view, region, pass, trial }: LineProps): JSX.Element {
  const look = asksIn(view, pass?.ref ?? ""); // while it stands the rest makes room
  const past = region?.pastShare || region?.belowFloor;
  const apart = view.differences.find((d) => d.what === "reading" && d.at === pass?.ref)?.amount ?? 0;
  return (
    <>
      <ShareWords room={room} view={view} />
      {look ? (
        <span class="tight">
          {say("extraction.lookAt", { pass: look.number, have: look.cut, want: look.trials, time: clock(look.sinceMs) })}
        </span>
      ) : null}
      {region && (!look || past) ? (
        <span class={past ? "tight" : ""}>
          <Figure room={room} of="share" at={region.ref}>
            {say("extraction.taken", { n: per(region.shareTaken, 10000) })}
          </Figure>
          {", "}
          <Figure room={room} of="residual" at={region.ref}>
            {region.hairsKnown
              ? say("extraction.hairsStand", { n: per(region.residualHairs10, 10) })
              : say("extraction.unitsStand", { n: per(region.residualUnits10, 10) })}
          </Figure>
        </span>
      ) : null}
      {apart !== 0 ? <span class="tight">{say("extraction.counterApart", { n: Math.abs(apart) })}</span> : null}
      {asksToPause(view) ? (
        <PauseWords room={room} view={view} />
      ) : trial ? (
        <TrialLine room={room} view={view} of={trial} />
      ) : look ? null : (
        <PaceWords room={room} view={view} station="extraction" />
      )}
    </>
  );
}

/** What this phone may still take alone, while the room does not hear it. */
function ShareWords({ room, view: { own } }: { room: Room; view: View }): JSX.Element | null {
  if (!own.shareKnown || room.shown.truth?.up !== false) return null;
  if (own.shareLeft >= 0) return <span>{say("extraction.share", { n: own.shareLeft })}</span>;
  return <span class="tight">{say("extraction.sharePast", { n: -own.shareLeft })}</span>;
}

/** What the figure counts: own attempts; own outcomes, where others punch; or, where few are tapped, what the pass has attempted. */
function OwnWords({ pass }: { pass: Pass | undefined }): JSX.Element {
  if (pass?.mode === "exception") return <>{say("extraction.passAttempts")}</>;
  if (pass?.mode !== "pulled") return <>{say("extraction.yourAttempts")}</>;
  return <Long words={say("extraction.yourOutcomes")} more={say("extraction.ofAttempts", { n: pass.counts.punched })} />;
}

interface OutcomesProps {
  pass: Pass;
  region: Ref;
  own: number[];
  fired: number;
  unsent: number;
  with: { setup?: Ref; trial?: Ref }; // the punch set-up that is on, and its trial
  tap: (fact: Fact) => Promise<boolean>;
  onMore: () => void;
}

/** The pads: one big for what happens most, five others, and more; beside the big one shots, where pulls come later. A pad is called by what it counts, so no key counts another thing in another pass. */
function Outcomes({ pass, region, own, fired, unsent, with: setup, tap, onMore }: OutcomesProps): JSX.Element {
  const outcome = (o: Outcome): Fact => ({ kind: "attempt", pass: pass.ref, region, outcome: o, n: 1, ...setup });
  const byException = pass.mode === "exception";
  const shot: Fact = { kind: "fired", pass: pass.ref, region, n: 1 };
  const most = say(byException ? "extraction.fired" : "outcome.intact");
  const n = byException ? fired : (own[0] ?? 0);
  return (
    <section class={pass.mode === "pulled" ? "pads pulled" : "pads"} style="grid-template-rows: auto 1fr" aria-label={say("phone.count")}>
      <div class="three">
        {others.map((o, i) => (
          <Pad
            key={o}
            id={o}
            name={say(`outcome.${o}` as Under<"outcome.">)}
            className="pad2"
            tone={i + 1}
            counted={own[i + 1] ?? 0}
            fact={outcome(o)}
            onCount={tap}
          >
            <span class="top">
              <Glyph of={o} />
              <b>
                <AtOnce of={(v) => v.own.tally.outcomes[i + 1] ?? 0} />
              </b>
            </span>
            {say(`outcome.${o}` as Under<"outcome.">)}
          </Pad>
        ))}
        <button type="button" class="pad2" onClick={onMore}>
          <span class="top">
            <Glyph of="more" />
          </span>
          {say("extraction.more")}
        </button>
      </div>
      <Pad
        key={pass.mode}
        id={byException ? "fired" : "intact"}
        name={most}
        counted={n}
        fact={byException ? shot : outcome("intact")}
        onCount={tap}
      >
        <Run n={n} hollow={unsent} />
        {most}
        <span class="note">{say("extraction.byYou", { n })}</span>
      </Pad>
      {pass.mode === "pulled" ? (
        <Pad id="fired" name={say("extraction.fired")} className="pad2" tone={others.length + 1} counted={fired} fact={shot} onCount={tap}>
          <span class="top">
            <Glyph of="attempt" />
            <b>
              <AtOnce of={(v) => v.own.tally.fired} />
            </b>
          </span>
          {say("extraction.fired")}
        </Pad>
      ) : null}
    </section>
  );
}
