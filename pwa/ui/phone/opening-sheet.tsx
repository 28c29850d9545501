// What is there already when a team begins to count late, by what its station
// counts. Each number is one entry, which says nothing about the pace.
import "./rare-words";
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { Fact, Mode, View } from "../../bridge/protocol.gen";
import { useBusy } from "../parts/busy";
import { Dialog, wholeNumber } from "../parts/dialog";
import type { Room } from "../parts/room";
import { say, sayFault, type Under } from "../parts/say";
import { Glyph, SizeGlyph, type Stroke } from "../parts/strokes";
import { useChosen, useChosenPass } from "./chosen";
import { sizes } from "./dish";
import { outcomesOf, passName } from "./pass";

type Opening = Extract<Fact, { kind: "opening count" }>;
type Row = { label: string; look: number | Stroke; fact: Opening }; // look: a unit size, or a stroke

interface OpeningProps {
  room: Room;
  view: View;
  onClose: () => void;
}

/** What a station counts. Where counters tell the attempts of a pass, how many there were stands above what became of them. */
function rowsOf(view: View, place: string, pass: string, mode: Mode): Row[] {
  const sized = (more: Omit<Opening, "kind">): Row[] =>
    sizes.map((size) => ({ label: say(`size.${size}` as Under<"size.">), look: size, fact: { kind: "opening count", ...more, size } }));
  const at = { kind: "opening count", pass, region: place } as const;
  const fired: Row = { label: say("opening.fired"), look: "attempt", fact: { ...at, of: "fired" } };
  switch (view.own.station) {
    case "extraction":
      return [
        ...(mode === "pulled" || mode === "exception" ? [fired] : []),
        ...outcomesOf(mode).map(
          (outcome): Row => ({
            label: say(`outcome.${outcome}` as Under<"outcome.">),
            look: outcome,
            fact: { ...at, of: "attempt", outcome },
          }),
        ),
      ];
    case "sorting":
      return [
        ...sized({ of: "sorted" }),
        { label: say("opening.rejected"), look: "reject", fact: { kind: "opening count", of: "rejected" } },
      ];
    case "sites":
      return sized({ of: "sites", zone: place });
    case "placing":
      return sized({ of: "placed", zone: place });
  }
  return [];
}

/** The form. */
export function OpeningSheet({ room, view, onClose }: OpeningProps): JSX.Element {
  const station = view.own.station;
  const atRegion = station === "extraction";
  const places = atRegion ? view.regions.map((r) => ({ ref: r.ref, name: `${r.code} · ${r.name}` })) : view.zones;
  const passes = view.passes.filter((p) => !p.ended);
  const [place, setPlace] = useChosen(
    view,
    atRegion ? "region" : "zone",
    places.map((p) => p.ref),
  );
  const [pass, setPass] = useChosenPass(view);
  const mode = passes.find((p) => p.ref === pass)?.mode ?? "";
  const [texts, setTexts] = useState<Readonly<Record<string, string>>>({}); // by the label of a row
  const [busy, run] = useBusy();
  const [said, setSaid] = useState("");
  const [wrong, setWrong] = useState("");
  const rows = rowsOf(view, place, pass, mode);
  const textOf = (row: Row): string => texts[row.label] ?? "";
  const keep = async (): Promise<void> => {
    const numbers = rows.map((row) => (textOf(row).trim() === "" ? 0 : wholeNumber(textOf(row))));
    setSaid("");
    if (numbers.includes(null) || numbers.every((n) => n === 0)) {
      setWrong(say("opening.wrong"));
      return;
    }
    if (atRegion && pass === "") {
      setWrong(say(passes.length > 0 ? "opening.whichPass" : "opening.noPass"));
      return;
    }
    let kept = 0;
    for (const [i, n] of numbers.entries()) {
      const row = rows[i];
      if (!n || !row) continue;
      const { fault } = await room.tap({ ...row.fact, n });
      if (fault) {
        setWrong(sayFault(fault));
        return;
      }
      setTexts((now) => ({ ...now, [row.label]: "" })); // only what was not kept stays in its field
      kept++;
    }
    setWrong("");
    setSaid(say("opening.kept", { n: kept }));
  };
  return (
    <Dialog title={say("opening.title")} onClose={onClose}>
      <p>{say("opening.why")}</p>
      {station !== "sorting" && places.length > 0 ? (
        <label class="field">
          <span>{say(atRegion ? "extraction.region" : "phone.zone")}</span>
          <select value={place} onChange={(e) => setPlace(e.currentTarget.value)}>
            {places.map((p) => (
              <option key={p.ref} value={p.ref}>
                {p.name}
              </option>
            ))}
          </select>
        </label>
      ) : null}
      {atRegion && (passes.length > 1 || (pass === "" && passes.length > 0)) ? (
        <label class="field">
          <span>{say("extraction.pass")}</span>
          <select value={pass} onChange={(e) => setPass(e.currentTarget.value)}>
            {pass === "" ? <option value="">{say("extraction.choosePass")}</option> : null}
            {passes.map((p) => (
              <option key={p.ref} value={p.ref}>
                {passName(view, p)}
              </option>
            ))}
          </select>
        </label>
      ) : null}
      {atRegion && passes.length === 0 ? <p class="warn">{say("opening.noPass")}</p> : null}
      <div class="numbers">
        {rows.map((row) => (
          <label class="field" key={row.label}>
            <span class="init">
              {typeof row.look === "number" ? <SizeGlyph size={row.look} /> : <Glyph of={row.look} />}
              {row.label}
            </span>
            <input
              inputMode="numeric"
              autoComplete="off"
              placeholder="0"
              value={textOf(row)}
              disabled={busy}
              onInput={(e) => {
                const text = e.currentTarget.value;
                setTexts((now) => ({ ...now, [row.label]: text }));
              }}
            />
          </label>
        ))}
      </div>
      {wrong ? (
        <p class="wrong" role="alert">
          {wrong}
        </p>
      ) : null}
      {said ? (
        <p class="quiet" role="status">
          {said}
        </p>
      ) : null}
      <button type="button" class="do first" disabled={busy} onClick={() => run(keep)}>
        {say("opening.keep")}
      </button>
      <p class="quiet">{say("opening.once")}</p>
    </Dialog>
  );
}
