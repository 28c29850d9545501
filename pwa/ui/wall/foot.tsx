// The last line of the wall: what asks for somebody, what does not agree, and
// which phones are away.
import type { JSX } from "preact";
import type { Ask, Conflict, Difference, View } from "../../bridge/protocol.gen";
import { shareOfAll } from "../parts/dose-share";
import { quoted } from "../parts/duration";
import { count, type Key, list, say, type Under } from "../parts/say";
import { Glyph } from "../parts/strokes";
import { liesThere } from "../parts/there";
import { decimalsOf, writeDecimal } from "../parts/units";
import { Fit } from "./fit";
import { Said } from "./said";
import { formsOf } from "./short-name";
import { Apart, Strokes } from "./strokes";

const cutFollicles = 2; // the outcome in which every follicle is cut

/** One conflict by its name and how many values stand; of more, how many there are. */
function chooseSentence(of: readonly Conflict[]): [Key, Record<string, string>] {
  const [first] = of;
  if (!first || of.length > 1) return ["wall.ask-chooses", { want: count(of.length) }];
  const n = count(first.standing);
  return first.kind === "budget" || first.kind === "yield" ? [`wall.ask-choose-${first.kind}`, { n }] : ["wall.ask-choose", { n }];
}

/** Whether what is to be counted again was, and lies there. */
const liesStill = (a: Ask, view: View): boolean =>
  view.differences.some((d) => d.open && d.what === a.of && d.size === a.size && d.amount === a.have && liesThere(d));

function askSentence(a: Ask, view: View, form: Form): [Key, Record<string, string | number>] {
  const short = form > 0;
  const have = count(a.have);
  const want = count(a.want);
  switch (a.what) {
    case "pause, ahead":
    case "pause, old":
    case "old":
      return [`wall.ask-${a.what.replace(", ", "-")}${outForms[form]}` as Under<"wall.ask-choose-">, quoted(a)];
    case "past donor":
      return [short ? "wall.ask-past-short" : "wall.ask-past", { want }];
    case "donor first":
      return [short ? "wall.ask-donor-short" : "wall.ask-donor", { have, want }];
    case "choose":
      return chooseSentence(view.conflicts);
    case "past share":
      return [short ? "wall.ask-share-short" : "wall.ask-share", { have, want }];
    case "below floor":
      return [short ? "wall.ask-floor-short" : "wall.ask-floor", { have: writeDecimal(a.have, 1), want: writeDecimal(a.want, 1) }];
    case "past dose":
      return [short ? "wall.ask-dose-short" : "wall.ask-dose", { have, want }];
    case "past doses":
      return [short ? "wall.ask-doses-short" : "wall.ask-doses", { have }];
    case "recount":
      if (liesStill(a, view)) return ["wall.recount-there", { n: count(a.have) }];
      return [`wall.recount-${a.of}` as Under<"wall.recount-">, {}]; // not by how much: whoever counts must not know
    case "look":
      return [short ? "wall.ask-look-short" : "wall.ask-look", { have, want }];
    case "singles":
      if (a.splits === 0) return ["wall.ask-singles-none", { have, want }];
      return [short ? "wall.ask-singles-short" : "wall.ask-singles", { have, want, n: count(a.splits) }];
    default:
      return [`wall.ask-short-${a.size}` as Under<"wall.ask-short-">, { n: a.have, want }];
  }
}

/** The zone or region that an ask is about, if it is about one. */
function placeOf(a: Ask, view: View, form: Form): string {
  if (a.what === "look") return view.passes.length > 1 && form < 2 ? say("wall.pass", { n: a.zone }) : "";
  if (a.what === "past dose") return a.zone; // a medicine's name is never shortened
  const [conflict, ...others] = a.what === "choose" ? view.conflicts : [];
  if (conflict && others.length === 0 && conflict.code !== "") return conflict.code;
  const name = conflict && others.length === 0 ? conflict.name : a.zone;
  return name === "" ? "" : (formsOf(name)[nameForms[form]] ?? name);
}

const nameForms = [0, 1, 3, 3] as const; // whole, with its last word, its initials

type Form = 0 | 1 | 2 | 3; // of a sentence: whole, short, with the end of its name left out, with the least of a caution or without its figure

const outForms = ["", "-short", "-short", "-least"] as const; // what to do stays, and how long it is leaves
const dosesCare = ["wall.dose-care", "wall.dose-care-short", "wall.dose-care-short", "wall.dose-care-least"] as const;

/** One ask, in the order in which the engine names them. */
function AskField({ ask: a, view, form }: { ask: Ask; view: View; form: Form }): JSX.Element {
  const [key, figures] = askSentence(a, view, form);
  const place = placeOf(a, view, form);
  return (
    <p class={a.limit ? "w-alarm w-past" : "w-alarm"}>
      <Glyph of={a.limit ? "past" : "ask"} />
      <span>
        {place !== "" && `${place}: `}
        <Said of={key} with={figures} />
        {a.what.startsWith("past dose") && `. ${say(dosesCare[form])}`}
      </span>
    </p>
  );
}

/** A server that lost its data has every phone join again. */
function Rejoin({ code }: { code: string }): JSX.Element {
  return (
    <p class="w-alarm">
      <Glyph of="ask" />
      <span>
        <Said of="wall.rejoin" with={{ code: `${code.slice(0, 4)} ${code.slice(4)}` }} />
      </span>
    </p>
  );
}

/** With nothing to ask, the quality with its denominator, and the hairs per graft. */
function Quality({ view, hairs }: { view: View; hairs: boolean }): JSX.Element {
  const { ledger: l, session } = view;
  const cut = l.attempts.outcomes[cutFollicles] ?? 0;
  if (l.outcomesTotal <= 0 || !session.stations.includes("extraction")) return <p class="quiet">{say("wall.calm")}</p>;
  return (
    <p class="quiet">
      <span>
        <Said of="wall.cut" with={{ n: count(cut), all: count(l.outcomesTotal) }} />
        {hairs && view.mix.hairsPerGraft100 > 0 && (
          <Said of="wall.hairs" with={{ n: writeDecimal(view.mix.hairsPerGraft100, decimalsOf.hairs) }} />
        )}
      </span>
    </p>
  );
}

/** What was given of anaesthetic against its limits: calm, for past a limit asks. */
function Dosed({ view: { doses: d } }: { view: View }): JSX.Element | null {
  if (d.count === 0) return null;
  return (
    <p class="quiet">
      <span>{d.unknown || d.unweighed ? say("wall.dose-unknown") : <Said of="wall.dose" with={{ n: shareOfAll(d) }} />}</span>
    </p>
  );
}

/** The open difference that came up last. */
function newestOf(view: View): Difference | undefined {
  return view.differences.filter((d) => d.open).sort((a, b) => b.sinceMs - a.sinceMs)[0];
}

/** How many differences are open, and what the newest is about; nothing when there is none. */
function Differences({ view, drawn, named }: { view: View; drawn: boolean; named: boolean }): JSX.Element | null {
  const open = view.differences.filter((d) => d.open).length;
  const newest = newestOf(view);
  if (!newest) return null;
  return (
    <p>
      {drawn && <Apart />}
      <span>
        <Said of="wall.apart" with={{ n: open }} />
        {named && <span class="quiet"> ({say(`wall.apart-${newest.what}` as Under<"wall.apart-">)})</span>}
      </span>
    </p>
  );
}

/** Of a phone that is away: how many there are, what they may hold, and where they count; the last leave first. */
function Away({ view, said, all }: { view: View; said: number; all: boolean }): JSX.Element {
  const { away, held } = view.headline;
  const at = view.phones.filter((p) => p.away && !p.left && view.session.stations.includes(p.station)).map((p) => p.station);
  return (
    <>
      {said > 2 && !all && `${list([...new Set(at)].map((one) => say(`station.${one}` as Under<"station.">)))}: `}
      <Said of={`wall.${all ? "all-away" : "away"}${said > 1 && held > 0 ? "-hold" : ""}`} with={{ n: count(away), held: count(held) }} />
    </>
  );
}

function Phones({ view, drawn, said }: { view: View; drawn: boolean; said: number }): JSX.Element | null {
  const there = view.phones.filter((p) => !p.left && view.session.stations.includes(p.station));
  const { away } = view.headline;
  const all = away > 1 && away === there.length; // what is counted since comes later
  if (there.length === 0 && view.session.endedMs > 0) return null;
  return (
    <p class="w-heard">
      {drawn && <Strokes here={there.filter((p) => !p.away).length} away={away} />}
      <span>{away > 0 ? <Away view={view} said={said} all={all} /> : say(there.length === 0 ? "wall.nobody" : "wall.all-here")}</span>
    </p>
  );
}

const mostAsks = 3;

/** How several asks are said: with fewer drawings, then shorter, then with less beside them. */
const several: readonly [drawings: number, form: Form, others: number][] = [
  [1, 0, 2],
  [0, 1, 2],
  [0, 2, 2],
  [0, 2, 1],
];

/** The same for limits of the patient: the second one is worth more than the words and figures that leave, and who is here. */
const limits: typeof several = [...several, [0, 3, 1], [0, 3, 0]];

/**
 * As many asks as there is room for beside the phones, three at most. In this order leave: the third and the second ask, the hairs
 * per graft, what the newest difference is about, the doses and where phones are away, the drawings, the ends of a zone's name and of a
 * long sentence (the drawings come back then), the differences and what phones may hold, the phones.
 */
export function Foot({ view, code }: { view: View; code: string }): JSX.Element {
  const { ledger: l, phones, headline: h } = view;
  const asks = view.session.endedMs > 0 ? [] : view.asks.slice(0, mostAsks); // nothing asks after the end
  const first = asks[0];
  const rejoin = code !== "" && !first?.limit;
  const row =
    (drawings: number, form: Form, others: number, most = 1) =>
    (): JSX.Element => (
      <>
        {rejoin ? (
          <Rejoin code={code} />
        ) : first ? (
          asks.slice(0, most).map((one, i) => <AskField key={`${i} ${one.what}`} ask={one} view={view} form={form} />)
        ) : (
          <Quality view={view} hairs={others > 3} />
        )}
        {others > 2 && <Dosed view={view} />}
        {others > 1 && <Differences view={view} drawn={drawings > 0} named={others > 2 && first?.what !== "recount"} />}
        {others > 0 && <Phones view={view} drawn={drawings > 1} said={others} />}
      </>
    );
  const open = view.differences.filter((d) => d.open).length;
  return (
    <Fit
      className="w-foot"
      of={JSON.stringify([
        rejoin && code,
        view.session.stations,
        view.session.endedMs > 0,
        asks,
        asks.map((a) => [a.what === "recount" && liesStill(a, view), a.what === "look" && view.passes.length > 1]),
        asks.some((a) => a.what === "choose") && view.conflicts.map((c) => [c.kind, c.of, c.code, c.name, c.standing]),
        open,
        newestOf(view)?.what,
        view.mix.hairsPerGraft100,
        h.away,
        h.away > 0 && h.held,
        phones.map((p) => [p.away, p.left, p.station]),
        l.outcomesTotal,
        view.doses.count > 0 && [view.doses.unknown, view.doses.unweighed, shareOfAll(view.doses)],
        l.attempts.outcomes[cutFollicles],
      ])}
      choices={[
        ...(rejoin ? [] : asks.slice(1).map((_, i) => asks.length - i)).flatMap((n) =>
          (asks[n - 1]?.limit ? limits : several).map(([drawings, form, others]) => row(drawings, form, others, n)),
        ),
        row(2, 0, 4),
        row(1, 0, 4),
        row(2, 0, 3),
        row(1, 0, 3),
        row(2, 0, 2),
        row(1, 0, 2),
        row(0, 0, 2),
        row(2, 1, 2),
        row(1, 1, 2),
        row(0, 1, 2),
        row(2, 2, 2),
        row(0, 2, 2),
        row(0, 2, 1),
        row(0, 2, 0),
        row(0, 3, 0),
      ]}
    />
  );
}
