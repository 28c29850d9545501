// Placing: the zone is the loudest thing after the pads.
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { Fact, Zone } from "../../bridge/protocol.gen";
import { Bar } from "../parts/bar";
import { Choices, Told } from "../parts/dialog";
import { Pad } from "../parts/pad";
import { count, say, sayFault, type Under } from "../parts/say";
import { Still } from "../parts/still";
import { Glyph } from "../parts/strokes";
import { dishFor, useChosen, useRemembered } from "./chosen";
import { CameBack, ManySizes, RejectPlaced, TakeSheet } from "./later";
import { OutShort, OutWords, PaceWords } from "./line";
import type { StationProps } from "./phone-app";
import { SizePad } from "./size-pad";
import { Long, Station } from "./station";

const sizes = [1, 2, 3, 4] as const;
const maxBeside = 3; // zones that stand beside each other; of more, one is chosen from a list
const tightFrom = 10; // open sites of a size before a shortage is marked

/** The station of a placer. */
export function PlacingScreen({ room, shown, view }: StationProps): JSX.Element {
  const [zoneRef, setZone] = useChosen(
    view,
    "zone",
    view.zones.map((z) => z.ref),
  );
  const [sheet, setSheet] = useState<"" | "reject" | "back" | "take" | "many">("");
  const [wrong, setWrong] = useState("");
  const zone = view.zones.find((z) => z.ref === zoneRef);
  const own = view.own.tally;
  const [taken, setTaken] = useRemembered(view, "take");
  const dish = view.dishes.find((d) => !d.closed && d.ref === taken);
  const tap = async (fact: Fact, late = false): Promise<boolean> => {
    const { fault } = await room.tap(fact, late);
    setWrong(fault ? sayFault(fault) : "");
    return fault === null;
  };
  const placed = (size: number, n: number): Fact => ({ kind: "placed", zone: zoneRef, size, n, dish: dishFor(dish, size) });
  const note = (size: number): { note: string; held: string; tight: boolean } => {
    const held = view.ledger.holding[size - 1] ?? 0;
    const open = zone?.openSites[size - 1] ?? 0;
    return {
      held: say("placing.held", { n: held }),
      note: view.session.stations.includes("sites") ? say("placing.open", { n: open }) : "",
      tight: open >= tightFrom && held < open,
    };
  };
  return (
    <Told.Provider value={wrong}>
      <Station
        room={room}
        shown={shown}
        view={view}
        station="station.placing"
        many={() => setSheet("many")}
        where={<ZonePick zones={view.zones} chosen={zoneRef} onChoose={setZone} />}
        own={
          <>
            <span>
              <Long words={say("placing.own")} more={say("placing.ownMore", { n: view.own.rejects })} />
            </span>
            <OutShort view={view} />
          </>
        }
        figure={{
          n: zone?.toPlace ?? 0,
          note: zone ? <Long words={say("placing.toPlace")} more={say("placing.toPlaceMore", { zone: zone.name })} /> : say("phone.noZone"),
        }}
        line={
          <Still of={[view.timeOut, view.session, dish, view.pace]}>
            {() => (
              <>
                <OutWords room={room} view={view} dish={dish} />
                <PaceWords room={room} view={view} station="placing" />
              </>
            )}
          </Still>
        }
      >
        <section class="pads" style="grid-template-rows: 1fr" aria-label={say("placing.count", { zone: zone?.name ?? "" })}>
          <div class="four-up">
            {sizes.map((size) => (
              <Pad
                key={size}
                id={String(size)}
                name={say(`size.${size}` as Under<"size.">)}
                label={say(`size.${size}` as Under<"size.">)}
                tone={size - 1}
                counted={own.placed[size - 1] ?? 0}
                fact={placed(size, 1)}
                onCount={tap}
              >
                <SizePad size={size} counted={(v) => v.own.tally.placed[size - 1] ?? 0} {...note(size)} />
              </Pad>
            ))}
          </div>
        </section>
        <footer class="under">
          <button type="button" class="pad2" onClick={() => setSheet("back")}>
            <span class="top">
              <Glyph of="out" />
            </span>
            {say("placing.cameBack")}
          </button>
          <button type="button" class="pad2" onClick={() => setSheet("reject")}>
            <span class="top">
              <Glyph of="reject" />
            </span>
            {say("sorting.reject")}
          </button>
          <button type="button" class="pad2" onClick={() => setSheet("take")}>
            <span class="top">
              <Glyph of="dish" />
              {dish ? <b>{dish.label}</b> : null}
            </span>
            {say(dish ? "placing.fromDish" : "placing.noDish")}
          </button>
        </footer>
        {wrong ? <p class="said">{wrong}</p> : null}
        {sheet === "back" ? <CameBack view={view} dish={dish} zone={zoneRef} tap={tap} onClose={() => setSheet("")} /> : null}
        {sheet === "reject" ? <RejectPlaced view={view} dish={dish} tap={tap} onClose={() => setSheet("")} /> : null}
        {sheet === "many" ? <ManySizes view={view} of={placed} tap={tap} onClose={() => setSheet("")} /> : null}
        {sheet === "take" ? <TakeSheet room={room} view={view} chosen={taken} onChoose={setTaken} onClose={() => setSheet("")} /> : null}
      </Station>
    </Told.Provider>
  );
}

function ZonePick({ zones, chosen, onChoose }: { zones: Zone[]; chosen: string; onChoose: (ref: string) => void }): JSX.Element {
  const [open, setOpen] = useState(false);
  const now = zones.find((z) => z.ref === chosen);
  if (zones.length === 0) return <p class="where facts">{say("phone.noZone")}</p>;
  if (zones.length > maxBeside && now) {
    return (
      <nav class="where" aria-label={say("phone.zone")}>
        <button type="button" onClick={() => setOpen(true)}>
          <span>{now.name}</span>
          <b>{count(now.toPlace)}</b>
        </button>
        {open ? (
          <Choices
            title={say("phone.zone")}
            of={zones.map((z) => ({ value: z.ref, label: z.name, note: say("placing.left", { n: z.toPlace }) }))}
            chosen={chosen}
            onChoose={onChoose}
            onClose={() => setOpen(false)}
          />
        ) : null}
      </nav>
    );
  }
  return (
    <nav class="zonepick" aria-label={say("phone.zone")}>
      {zones.map((z) => (
        <button
          type="button"
          key={z.ref}
          class={z.ref === chosen ? "on" : ""}
          aria-pressed={z.ref === chosen}
          onClick={() => onChoose(z.ref)}
        >
          <span>{z.name}</span>
          <b>{count(z.toPlace)}</b>
          <Bar all={z.needTotal} solid={z.placedTotal} strokes={z.openTotal} />
        </button>
      ))}
    </nav>
  );
}
