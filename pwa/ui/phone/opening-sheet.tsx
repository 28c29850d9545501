// What is there already when a team begins to count late, by what its station
// counts. Each number is one entry, which says nothing about the pace.
import "./rare-words";
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { Fact, Outcome, View } from "../../bridge/protocol.gen";
import { Dialog, wholeNumber } from "../parts/dialog";
import type { Room } from "../parts/room";
import { type Key, say, sayCount, sayFault } from "../parts/say";
import { Glyph, SizeGlyph } from "../parts/strokes";
import { useChosen } from "./chosen";
import { sizes } from "./dish";
import { passName } from "./pass";

type Opening = Extract<Fact, { kind: "opening count" }>;
type Row = { label: string; size: number; outcome: Outcome; fact: Opening };

const outcomes: readonly Exclude<Outcome, "">[] = ["intact", "partial", "total", "topped", "buried", "empty"];

interface OpeningProps {
  room: Room;
  view: View;
  onClose: () => void;
}

function rowsOf(view: View, place: string, pass: string): Row[] {
  const sized = (more: Omit<Opening, "kind">): Row[] =>
    sizes.map((size) => ({ label: say(`size.${size}` as Key), size, outcome: "", fact: { kind: "opening count", ...more, size } }));
  switch (view.own.station) {
    case "extraction":
      return outcomes.map((outcome) => ({
        label: say(`outcome.${outcome}` as Key),
        size: 0,
        outcome,
        fact: { kind: "opening count", of: "attempt", pass, region: place, outcome },
      }));
    case "sorting":
      return [
        ...sized({ of: "sorted" }),
        { label: say("opening.rejected"), size: 0, outcome: "", fact: { kind: "opening count", of: "rejected" } },
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
  const [pass, setPass] = useChosen(
    view,
    "pass",
    passes.map((p) => p.ref),
  );
  const [texts, setTexts] = useState<string[]>([]);
  const [said, setSaid] = useState("");
  const [wrong, setWrong] = useState("");
  const rows = rowsOf(view, place, pass);
  const keep = async (): Promise<void> => {
    const numbers = rows.map((_, i) => ((texts[i] ?? "").trim() === "" ? 0 : wholeNumber(texts[i] ?? "")));
    setSaid("");
    if (numbers.includes(null) || numbers.every((n) => n === 0)) {
      setWrong(say("opening.wrong"));
      return;
    }
    const left = [...texts];
    let kept = 0;
    for (const [i, n] of numbers.entries()) {
      const row = rows[i];
      if (!n || !row) continue;
      const { fault } = await room.tap({ ...row.fact, n });
      if (fault) {
        setTexts(left); // what was not kept stays in its field
        setWrong(sayFault(fault));
        return;
      }
      left[i] = "";
      kept++;
    }
    setTexts([]);
    setWrong("");
    setSaid(sayCount("opening.keptOne", "opening.kept", kept));
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
      {atRegion && passes.length > 1 ? (
        <label class="field">
          <span>{say("extraction.pass")}</span>
          <select value={pass} onChange={(e) => setPass(e.currentTarget.value)}>
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
        {rows.map((row, i) => (
          <label class="field" key={row.label}>
            <span class="init">
              {row.size > 0 ? <SizeGlyph size={row.size} /> : row.outcome ? <Glyph of={row.outcome} /> : <Glyph of="reject" />}
              {row.label}
            </span>
            <input
              inputMode="numeric"
              autoComplete="off"
              placeholder="0"
              value={texts[i] ?? ""}
              onInput={(e) => {
                const next = [...texts];
                next[i] = e.currentTarget.value;
                setTexts(next);
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
      <button type="button" class="do first" onClick={() => void keep()}>
        {say("opening.keep")}
      </button>
      <p class="quiet">{say("opening.once")}</p>
    </Dialog>
  );
}
