// What was given, against its limits, and what must be said beside it. A log and
// a caution: nothing here calls an amount safe.
import "./dose-words";
import type { JSX } from "preact";
import type { Dose, DoseAgent, DoseGroup, Ref, View } from "../../bridge/protocol.gen";
import { shareOfAll } from "./dose-share";
import { per } from "./per";
import type { Room } from "./room";
import { clock, count, type Key, list, say, type Under } from "./say";
import { Glyph } from "./strokes";
import { writeDecimal } from "./units";
import { Figure } from "./where";

/** µg as mg, µL as mL, g as kg: thousands stand apart. */
export const mg = (ug: number): string => writeDecimal(ug, 3).replace(/^\d+/, (whole) => count(Number(whole)));

/** A strength in % × 1000 as %. */
export const percent = (strength: number): string => writeDecimal(strength, 3);

/** What an agent is called. */
export const agentName = (a: { substance: string; epinephrine: boolean }): string =>
  a.epinephrine ? say("entry.with", { agent: a.substance }) : a.substance;

/** What is held against one limit, by name. */
export function groupName(g: DoseGroup): string {
  if (g.tumescent) return say("dose.dilute", { agent: g.substance });
  if (g.plain && g.epinephrine) return say("dose.both", { agent: g.substance });
  return agentName(g);
}

/** How a figure asks about a group. */
export const asking = (g: DoseGroup): { at: Ref; size: number } => ({ at: g.ref, size: g.asked });

/** What share of what: of the limit, or where there is a daily one, of that and of the limit of one dose. */
export const shareWords = (g: DoseGroup): string =>
  g.dailyUg > 0
    ? say("dose.shareDay", { n: per(g.dayParts, 10_000), top: per(g.topParts, 10_000) })
    : say("dose.share", { n: per(g.parts, 10_000) });

/** What is known of a limit, in words. */
export function limitWords(a: DoseAgent): string {
  const parts = [
    a.perKgUg > 0 ? say("dose.perKg", { n: mg(a.perKgUg) }) : "",
    a.capUg > 0 ? say("dose.cap", { n: mg(a.capUg) }) : "",
    a.dailyUg > 0 ? say("dose.daily", { n: mg(a.dailyUg) }) : "",
  ];
  return list(parts.filter(Boolean));
}

/** Where the limits of an agent are from. */
export const sourceOf = (a: DoseAgent): string => (a.label === "" ? a.source : say(`dose.source.${a.label}` as Under<"dose.source.">));

interface Of {
  room: Room;
  view: View;
}

/** Every group with its share, the weight behind it, and the vasoconstrictor. */
export function Doses({ room, view }: Of): JSX.Element {
  const d = view.doses;
  return (
    <>
      <ul class="doses">
        {d.groups.map((g) => (
          <Group key={`${groupName(g)}${g.ref}`} room={room} of={g} />
        ))}
      </ul>
      {d.groups.length > 1 ? (
        <p class={`together is-${d.state}`}>
          <Figure room={room} of="dose share" alone>
            {say("dose.together", { n: per(d.parts, 10_000) })}
          </Figure>{" "}
          <span>{say("dose.next", { n: per(d.nextParts, 10_000) })}</span>
        </p>
      ) : null}
      <Weight view={view} />
      {d.vasoconstrictorNg > 0 ? (
        <p>
          {say("dose.vasoconstrictor")}{" "}
          <Figure room={room} of="vasoconstrictor">
            {say("dose.ug", { n: writeDecimal(d.vasoconstrictorNg, 3) })}
          </Figure>
        </p>
      ) : null}
    </>
  );
}

function Group({ room, of: g }: { room: Room; of: DoseGroup }): JSX.Element {
  const known = g.limitUg > 0;
  return (
    <li class={`is-${g.state}`}>
      <h3>{groupName(g)}</h3>
      <Figure room={room} of="dose" {...asking(g)} alone>
        {known && g.dailyUg === 0 ? say("dose.ofLimit", { n: mg(g.ug), limit: mg(g.limitUg) }) : say("dose.mg", { n: mg(g.ug) })}
      </Figure>
      {known ? (
        <>
          <progress max={10_000} value={g.dailyUg > 0 ? g.dayParts : g.parts} aria-hidden="true" />
          <p class="share">
            <Figure room={room} of="dose share" {...asking(g)} alone>
              {shareWords(g)}
            </Figure>{" "}
            {g.dailyUg > 0 ? null : <span>{say("dose.next", { n: per(g.nextParts, 10_000) })}</span>}
          </p>
        </>
      ) : (
        <p>{say("dose.noLimit")}</p>
      )}
      {g.dailyUg > 0 ? <p class="quiet">{say("dose.ofDay", { n: mg(g.ug), limit: mg(g.dailyUg) })}</p> : null}
      {g.state === "past" ? (
        <p class="limit">
          <Glyph of="past" />
          {say(g.tumescent ? "dose.pastRegime" : "dose.past")}
        </p>
      ) : g.state === "near" ? (
        <p class="warn">{say("dose.near")}</p>
      ) : null}
    </li>
  );
}

/** Who entered the weight, and when; or that nobody did. */
export function Weight({ view: { doses: d } }: { view: View }): JSX.Element {
  if (!d.weightKnown) return <p class="warn">{say("dose.noWeight")}</p>;
  const by = { n: mg(d.grams), person: d.weightBy, time: clock(d.weightMs) };
  return (
    <>
      <p>
        {say("dose.weightIs", by)}
        {d.weightAsked ? ` ${say("dose.asked")}` : ""}
      </p>
      {d.weights > 1 ? <p class="warn">{say("dose.weights", { n: d.weights })}</p> : null}
    </>
  );
}

const always: readonly Key[] = ["dose.care.label", "dose.care.time", "dose.care.pooled", "dose.care.equipment", "dose.care.log"];
const shown: readonly string[] = ["unknown", "agents", "rules", "apart", "dilute"]; // the others stand where they belong

/** What must be said beside doses. */
export function Cautions({ view }: { view: View }): JSX.Element {
  return (
    <ul class="cautions">
      {view.doses.cautions
        .filter((c) => shown.includes(c))
        .map((c) => (
          <li key={c}>{say(`dose.caution.${c}` as Under<"dose.caution.">)}</li>
        ))}
      {always.map((key) => (
        <li key={key}>{say(key)}</li>
      ))}
    </ul>
  );
}

/** One dose as a line. */
export function DoseLine({ of: d }: { of: Dose }): JSX.Element {
  const notes = [
    d.ratio > 0 ? say("dose.ratio", { n: d.ratio }) : "",
    d.site,
    d.tumescent ? say("dose.isDilute") : "",
    d.earlier ? say("dose.isEarlier") : "",
    d.asked ? say("dose.asked") : "",
  ].filter(Boolean);
  return (
    <>
      <span>{say("dose.line", { agent: agentName(d), volume: mg(d.volumeUl), strength: percent(d.strength) })}</span>
      <b>{say("dose.mg", { n: mg(d.ug) })}</b>
      <span class="quiet">{list([clock(d.atMs), d.person, ...notes].filter(Boolean))}</span>
    </>
  );
}

/** The one line of a fold or a header. */
export function summaryOf({ doses: d }: View): string {
  if (d.count === 0) return say("dose.none");
  const n = say("dose.count", { n: d.count });
  if (d.unweighed) return `${n}, ${say("dose.unweighed")}`;
  return d.unknown ? n : `${n}, ${shareOfAll(d)}`;
}
