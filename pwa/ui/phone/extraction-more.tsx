// Many at once, a reading of the device's counter, retrieved grafts, the end
// of a pass.
import "./rare-words";
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { Fact, Outcome, Pass, Ref, View } from "../../bridge/protocol.gen";
import { useBusy } from "../parts/busy";
import { Dialog } from "../parts/dialog";
import { HoldButton } from "../parts/hold";
import { say, type Under } from "../parts/say";
import { Glyph, type Stroke } from "../parts/strokes";
import { Many, type Thing } from "./many";
import { asksIn, outcomesOf, passName } from "./pass";
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

/** What comes out later comes by ones. */
const few = [1, 2, 3] as const;

/** The rows of a pass: its outcomes, where they are counted its shots, and what came out of what was left behind. */
function thingsOf(pass: Pass): Thing[] {
  const thing = (id: string, name: string, glyph: Stroke): Thing => ({ id, name, mark: <Glyph of={glyph} /> });
  return [
    ...(pass.mode === "each" ? [] : [thing("fired", say("extraction.fired"), "attempt")]),
    ...outcomesOf(pass.mode).map((o) => thing(o, say(`outcome.${o}` as Under<"outcome.">), o)),
    { ...thing("from buried", say("extraction.outOfBuried"), "loose"), steps: few },
    { ...thing("from topped", say("extraction.outOfTopped"), "loose"), steps: few },
  ];
}

/** The sheet behind "many, or a reading". */
export function ExtractionMore({ view, pass, region, with: setup, tap, onLook, onClose }: MoreProps): JSX.Element {
  const [reads, setReads] = useState(false);
  const [busy, run] = useBusy();
  const at = { pass: pass.ref, region };
  const title = pass.ended ? say("extraction.endedPass", { pass: passName(view, pass) }) : say("extraction.more");
  const fact = (id: string, n: number, late: boolean): Fact =>
    id === "fired"
      ? { kind: "fired", ...at, n }
      : id.startsWith("from ")
        ? { kind: "retrieved", from: id.slice(5) as Outcome, ...at, n }
        : { kind: "attempt", ...at, outcome: id as Outcome, n, ...(late ? {} : setup) };
  return (
    <Dialog title={reads ? say("extraction.aReading") : title} onClose={onClose}>
      {reads ? (
        <>
          <Reading view={view} pass={pass} region={region} tap={tap} />
          <button type="button" class="do" onClick={() => setReads(false)}>
            {say("many.back")}
          </button>
        </>
      ) : (
        <Many
          view={view}
          things={thingsOf(pass)}
          stocks={["bench"]}
          onMany={(id, n, late) => tap(fact(id, n, late), late)}
          onClose={onClose}
          before={
            <div class="acts short">
              <button type="button" class="do" onClick={() => setReads(true)}>
                {say("extraction.aReading")}
              </button>
              {asksIn(view, pass.ref) ? (
                <button type="button" class="do" onClick={onLook}>
                  {say("extraction.lookNow")}
                </button>
              ) : null}
            </div>
          }
        >
          {pass.ended ? null : (
            <HoldButton
              label={say("extraction.endPass")}
              disabled={busy}
              onHeld={() => run(() => tap({ kind: "pass ended", pass: pass.ref }).then((ok) => ok && onClose()))}
            />
          )}
          {pass.counts.pending !== 0 ? <p class="quiet">{say("extraction.pending", { n: pass.counts.pending })}</p> : null}
        </Many>
      )}
    </Dialog>
  );
}
