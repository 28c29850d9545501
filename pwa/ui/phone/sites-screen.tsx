// Sites: counted by tens, because that is how they are made.
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { Fact, Zone } from "../../bridge/protocol.gen";
import { Choices, Told } from "../parts/dialog";
import { Pad } from "../parts/pad";
import { say, sayFault, type Under } from "../parts/say";
import { Glyph } from "../parts/strokes";
import { beyondBudget } from "../parts/whole-plan";
import { useChosen } from "./chosen";
import { SitesNumber } from "./later";
import { PaceWords } from "./line";
import type { StationProps } from "./phone-app";
import { Long, Station } from "./station";

const sizes = ["1", "2", "3", "4"] as const;

/** The station of whoever makes sites. */
export function SitesScreen({ room, shown, view }: StationProps): JSX.Element {
  const [zoneRef, setZone] = useChosen(
    view,
    "zone",
    view.zones.map((z) => z.ref),
  );
  const [sizeText, setSize] = useChosen(view, "size", sizes);
  const [sheet, setSheet] = useState<"" | "zone" | "size" | "number" | "close">("");
  const [wrong, setWrong] = useState("");
  const zone = view.zones.find((z) => z.ref === zoneRef);
  const size = Number(sizeText) || 1;
  const sites = (n: number, closed = false): Fact => ({ kind: closed ? "sites closed" : "sites", zone: zoneRef, size, n });
  const tap = async (fact: Fact, late = false): Promise<boolean> => {
    const { fault } = await room.tap(fact, late);
    setWrong(fault ? sayFault(fault) : "");
    return fault === null;
  };
  const where = (
    <nav class="where" aria-label={say("phone.where")}>
      <button type="button" onClick={() => setSheet("zone")}>
        {zone?.name ?? say("phone.noZone")}
      </button>
      <button type="button" class="fixed" onClick={() => setSheet("size")}>
        {say(`size.${size}` as Under<"size.">)}
      </button>
    </nav>
  );
  return (
    <Told.Provider value={wrong}>
      <Station
        room={room}
        shown={shown}
        view={view}
        station="station.sites"
        where={where}
        tally={(v) => v.zones.find((z) => z.ref === zone?.ref)?.sitesTotal ?? v.own.count}
        own={
          zone ? (
            <Long words={say("sites.own", { need: zone.needTotal })} more={say("sites.ownMore", { zone: zone.name })} />
          ) : (
            say("sites.ownNone")
          )
        }
        figure={{ of: "sites", at: zone?.ref ?? "", n: zone?.openTotal ?? view.ledger.openSites, note: say("sites.open") }}
        line={
          <>
            {zone ? <span>{madeOf(zone, size)}</span> : null}
            <PaceWords room={room} view={view} station="sites" />
          </>
        }
      >
        <section class="pads" style="grid-template-rows: auto 1fr" aria-label={say("sites.count")}>
          <div class="three">
            <Pad id="1" name={say("sites.plus", { n: 1 })} className="pad2" tone={2} fact={sites(1)} onCount={tap}>
              <b>+1</b>
              {say("sites.one")}
            </Pad>
            <Pad id="25" name={say("sites.plus", { n: 25 })} className="pad2" tone={1} fact={sites(25)} onCount={tap}>
              <b>+25</b>
              {say("sites.row")}
            </Pad>
            <button type="button" class="pad2" onClick={() => setSheet("number")}>
              <span class="top">
                <Glyph of="more" />
              </span>
              {say("sites.number")}
            </button>
          </div>
          <Pad id="10" name={say("sites.plus", { n: 10 })} counted={view.own.count / 10} fact={sites(10)} onCount={tap}>
            <Tens />
            +10
            <span class="note">
              {zone ? say(beyondBudget(view) ? "sites.tenPlan" : "sites.ten", { zone: zone.name, n: zone.toMake }) : say("phone.noZone")}
            </span>
          </Pad>
        </section>
        {wrong ? <p class="said">{wrong}</p> : null}
        {sheet === "zone" ? (
          <Choices
            title={say("phone.zone")}
            of={view.zones.map((z) => ({
              value: z.ref,
              label: z.name,
              note: say(beyondBudget(view) ? "sites.toMakePlan" : "sites.toMake", { n: z.toMake }),
            }))}
            chosen={zoneRef}
            onChoose={setZone}
            onClose={() => setSheet("")}
          />
        ) : null}
        {sheet === "size" ? (
          <Choices
            title={say("phone.size")}
            of={sizes.map((s) => ({
              value: s as string,
              label: say(`size.${s}` as Under<"size.">),
              note: zone ? madeOf(zone, Number(s)) : "",
            }))}
            chosen={sizeText}
            onChoose={setSize}
            onClose={() => setSheet("")}
          />
        ) : null}
        {sheet === "number" ? (
          <SitesNumber view={view} onAdd={(n, closed, late) => tap(sites(n, closed), late)} onClose={() => setSheet("")} />
        ) : null}
      </Station>
    </Told.Provider>
  );
}

/** How many sites of a size are made, of those that the plan needs, and how many are open. */
function madeOf(zone: Zone, size: number): string {
  const [made = 0, need = 0, open = 0] = [zone.sites, zone.need, zone.openSites].map((by) => by[size - 1]);
  return say("sites.madeOf", { size: say(`sizes.${size}` as Under<"sizes.">), made, need, open });
}

function Tens(): JSX.Element {
  return (
    <svg class="tens" viewBox="0 0 300 64" preserveAspectRatio="xMinYMid meet" aria-hidden="true">
      {Array.from({ length: 10 }, (_, i) => (
        <path
          key={i}
          fill="currentColor"
          d={`M${4 + 29 * i} 6H${9 + 29 * i}L${13.5 + 29 * i} 46L${18 + 29 * i} 6H${23 + 29 * i}V12H${22 + 29 * i}L${15.5 + 29 * i} 58H${11.5 + 29 * i}L${5 + 29 * i} 12H${4 + 29 * i}Z`}
        />
      ))}
    </svg>
  );
}
