// Moving entries: only to places that every one of them has. Another move takes
// the first one back.
import "./rare-words";
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { Entry, Fact, Kind, Mode, Pass, Ref, Setup, View } from "../../bridge/protocol.gen";
import { useBusy } from "../parts/busy";
import { Dialog } from "../parts/dialog";
import type { Room } from "../parts/room";
import { say, sayFault, type Under } from "../parts/say";
import { SizeGlyph } from "../parts/strokes";
import { sizes } from "./dish";
import { passName } from "./pass";
import { nameAmong } from "./recount-sheet";

type Place = "region" | "zone" | "pass" | "dish" | "size" | "setup";

// As shared/event has it: what a count of each kind has, and the bit of each in a refile.
const attempts: readonly Place[] = ["region", "pass"];
const placesOf: Partial<Record<Kind, readonly Place[]>> = {
  fired: attempts,
  attempt: [...attempts, "setup"],
  reading: attempts,
  retrieved: attempts,
  sorted: ["size", "dish"],
  rejected: ["size", "dish"],
  split: ["dish"],
  sites: ["zone", "size"],
  "sites closed": ["zone", "size"],
  placed: ["zone", "size", "dish"],
  "came back": ["zone", "size", "dish"],
  "dish done": ["zone"],
};
const bits: Record<Place, number> = { pass: 1, region: 2, zone: 4, dish: 8, size: 16, setup: 32 };

/** Whether an entry has a place that it can be moved from. */
export const canMove = (e: Entry): boolean => !e.undone && placesOf[e.kind] !== undefined;

/** One place to move to. */
interface Target {
  place: Place;
  label: string;
  size: number;
  set: Partial<Extract<Fact, { kind: "refiled" }>>;
}

function targets(view: View, of: readonly Entry[]): Target[] {
  const all = (place: Place): boolean => of.every((e) => placesOf[e.kind]?.includes(place) && !(place === "setup" && e.opening)); // nobody knows what was in the hand before
  const to = (place: Place, label: string, set: Target["set"], size = 0): Target => ({ place, label, set, size });
  return [
    ...view.regions.map((r) => to("region", `${r.code} · ${r.name}`, { region: r.ref })),
    to("region", say("extraction.noRegion"), { region: "" }),
    ...view.zones.map((z) => to("zone", z.name, { zone: z.ref })),
    ...passesFor(view, of).map((p) => to("pass", passName(view, p), { pass: p.ref })),
    ...sizes.map((size) => to("size", say(`size.${size}` as Under<"size.">), { size }, size)),
    ...view.dishes.map((d) => to("dish", nameAmong(view, d), { dish: d.ref })),
    to("dish", say("phone.noDish"), { dish: "" }),
    ...setupsFor(view, of).map((s) => to("setup", s.name, { setup: s.ref })),
    ...(view.setups.length > 0 ? [to("setup", say("move.noSetup"), { setup: "" })] : []),
  ].filter((t) => all(t.place));
}

/** The passes that are counted the way the entries' own is: in another one they would say something else. */
function passesFor(view: View, of: readonly Entry[]): Pass[] {
  const modeOf = (ref: Ref): Mode | undefined => view.passes.find((p) => p.ref === ref)?.mode;
  return view.passes.filter((p) => of.every((e) => modeOf(e.pass) === p.mode));
}

/** The set-ups that can be chosen, and those that the entries or a trial name. */
function setupsFor(view: View, of: readonly Entry[]): Setup[] {
  const named = (ref: Ref): boolean => of.some((e) => e.setup === ref) || view.trials.some((t) => t.arms.some((arm) => arm.setup === ref));
  return view.setups.filter((s) => s.offered || named(s.ref));
}

/** Whether all entries are there already. */
function there(t: Target, of: readonly Entry[]): boolean {
  const { region, zone, pass, dish, size, setup } = t.set;
  return of.every((e) =>
    t.place === "size"
      ? e.size === size
      : t.place === "pass"
        ? e.pass === pass
        : t.place === "dish"
          ? e.dish === dish
          : t.place === "setup"
            ? e.setup === setup
            : e.place === (region ?? zone),
  );
}

interface MoveProps {
  room: Room;
  view: View;
  of: readonly Entry[];
  onMoved: (words: string) => void;
  onBack: () => void;
  onClose: () => void;
}

/** The places; one touch moves. */
export function MoveSheet({ room, view, of, onMoved, onBack, onClose }: MoveProps): JSX.Element {
  const [wrong, setWrong] = useState("");
  const [busy, run] = useBusy();
  const list = targets(view, of);
  const places = [...new Set(list.map((t) => t.place))];
  const move = async (t: Target): Promise<void> => {
    const { fault } = await room.tap({ kind: "refiled", targets: of.map((e) => e.ref), sets: bits[t.place], ...t.set });
    if (fault) setWrong(sayFault(fault));
    else onMoved(say("move.done", { n: of.length, place: t.label }));
  };
  return (
    <Dialog title={say("move.title", { n: of.length })} onClose={onClose}>
      {wrong ? (
        <p class="wrong" role="alert">
          {wrong}
        </p>
      ) : null}
      {places.length === 0 ? <p>{say("move.nowhere")}</p> : null}
      {places.map((place) => (
        <section class="row" key={place}>
          <h3>{say(`move.${place}`)}</h3>
          <ul class="choices">
            {list
              .filter((t) => t.place === place)
              .map((t) => (
                <li key={`${t.label} ${Object.values(t.set).join("")}`}>
                  <button type="button" aria-pressed={there(t, of)} disabled={busy || there(t, of)} onClick={() => run(() => move(t))}>
                    <span>{t.label}</span>
                    {there(t, of) ? <span class="quiet">{say("move.now")}</span> : t.size > 0 ? <SizeGlyph size={t.size} /> : null}
                  </button>
                </li>
              ))}
          </ul>
        </section>
      ))}
      <p class="quiet">{say("move.why")}</p>
      <button type="button" class="do" onClick={onBack}>
        {say("move.back")}
      </button>
    </Dialog>
  );
}
