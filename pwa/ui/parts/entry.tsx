// One entry as people read it: its stroke, its words, how far it has come.
import type { JSX } from "preact";
import type { Step } from "../../bridge/messages";
import type { Entry, View } from "../../bridge/protocol.gen";
import { count, list, say, type Under } from "./say";
import { Glyph, SizeGlyph, type Stroke } from "./strokes";
import { writeDecimal } from "./units";

const outcomeGlyph: Record<string, Stroke> = {
  intact: "intact",
  partial: "partial",
  total: "total",
  topped: "topped",
  buried: "buried",
  empty: "empty",
};
const kindGlyph: Record<string, Stroke> = {
  rejected: "reject",
  split: "split",
  sites: "site",
  "sites closed": "site",
  "came back": "out",
  fired: "attempt",
  reading: "recount",
  retrieved: "loose",
  settled: "seal",
  "dish done": "dish",
  "dish closed": "dish",
  recount: "recount",
  budget: "note",
  zone: "note",
  region: "note",
  inspected: "recount",
  looked: "note",
  dosed: "dose",
  weight: "note",
  agent: "note",
  "dose rule": "note",
};

export function EntryGlyph({ of }: { of: Entry }): JSX.Element {
  if ((of.kind === "sorted" || of.kind === "placed") && of.size > 0) return <SizeGlyph size={of.size} />;
  return <Glyph of={kindGlyph[of.kind] ?? outcomeGlyph[of.outcome] ?? "held"} />;
}

/** Kinds whose number says something even when it is 0 or 1. */
const numbered: readonly string[] = ["reading", "recount", "dish done"];

/** What was counted, and where; the kind too where the station does not say it. */
export function entryWords(e: Entry, view: View, kindToo = false): string {
  if (e.kind === "dosed") return doseWords(e, view);
  if (e.kind === "weight") return say("entry.weight", { n: writeDecimal(e.n, 3) });
  const place = view.zones.find((z) => z.ref === e.place)?.name ?? view.regions.find((r) => r.ref === e.place)?.code ?? "";
  const what =
    e.kind === "attempt"
      ? say(`outcome.${e.outcome}` as Under<"outcome.">)
      : e.size > 0
        ? say(`size.${e.size}` as Under<"size.">)
        : say(`entry.${e.kind}` as "entry.sorted");
  const words =
    e.size > 0 && (kindToo || (e.kind !== "sorted" && e.kind !== "placed")) ? `${say(`entry.${e.kind}` as "entry.sorted")}, ${what}` : what;
  const dish = kindToo && e.dish !== "" ? view.dishes.find((d) => d.ref === e.dish) : undefined;
  const where = [place, dish ? say("phone.dish", { label: dish.label }) : ""];
  return list([e.n > 1 || e.n < 0 || numbered.includes(e.kind) ? `${count(e.n)} ${words}` : words, ...where].filter(Boolean));
}

/** A dose: how much of what. */
function doseWords(e: Entry, view: View): string {
  const a = view.doses.agents.find((one) => (e.agent === "" ? one.label === e.label : one.ref === e.agent));
  const agent = a?.epinephrine ? say("entry.with", { agent: a.substance }) : (a?.substance ?? "");
  return say("entry.dosed", { n: writeDecimal(e.n, 3), agent });
}

/** How far an entry has come: a stroke that is solid once the room has it, and words; fewer where there is little room. */
export function StepMark({ step, short = false }: { step: Step; short?: boolean }): JSX.Element {
  return (
    <span class={`step in-${step}`}>
      <svg viewBox="0 0 8 18" aria-hidden="true">
        <path d="M1.5 3.8L6.5 1V17H1.5Z" />
      </svg>
      {short ? <span aria-hidden="true">{say(`stepShort.${step}`)}</span> : say(`step.${step}`)}
      {short ? <span class="off">{say(`step.${step}`)}</span> : null}
    </span>
  );
}
