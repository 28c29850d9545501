// How the session stands, in one row.
import type { JSX } from "preact";
import type { Figure as FigureName, View } from "../../bridge/protocol.gen";
import type { Room } from "../parts/room";
import { count, say } from "../parts/say";
import { Glyph } from "../parts/strokes";
import { Figure } from "../parts/where";

interface Row {
  word: string;
  value: string;
  of: FigureName;
  strong?: boolean;
}

export function Figures({ room, view }: { room: Room; view: View }): JSX.Element {
  const { headline: h, ledger: l } = view;
  const none = say("office.not-set");
  const rows: Row[] = [
    { word: say("office.budget"), value: h.budgetKnown ? count(h.budget) : none, of: "budget" },
    { word: say("office.out"), value: count(l.out), of: "out" },
    { word: say("office.bench"), value: count(l.bench), of: "bench" },
    { word: say("office.held"), value: count(l.holdingTotal), of: "holding" },
    { word: say("office.placed"), value: count(l.placedTotal), of: "placed", strong: true },
    { word: say("office.to-take"), value: h.budgetKnown ? count(h.toTake) : none, of: "to take", strong: true },
  ];
  return (
    <section class="o-figures" aria-label={say("office.figures")}>
      <dl>
        {rows.map((r) => (
          <div key={r.word} class={r.strong ? "o-strong" : ""}>
            <dt>{r.word}</dt>
            <dd>
              <Figure room={room} of={r.of}>
                {r.value}
              </Figure>
            </dd>
          </div>
        ))}
      </dl>
      <PlacedBar view={view} />
      {view.session.endedMs === 0 && <Stops view={view} />}
    </section>
  );
}

/** What stops first, in attempts. */
function Stops({ view: { headline: h } }: { view: View }): JSX.Element {
  if (h.stops === "unknown") return <p class="quiet">{say("office.stops-unknown")}</p>;
  const range = h.rangeKnown ? (h.highOpen ? say("office.or-more", { n: h.low }) : `${count(h.low)}–${count(h.high)}`) : "";
  const donor = h.stops === "donor";
  return (
    <p class={donor ? "o-asks" : ""}>
      {donor && <Glyph of="ask" />}
      <span>
        {donor ? say("office.stops-donor", { n: h.stopAt, need: h.attempts }) : say("office.stops-need", { n: h.stopAt })}
        {range !== "" && (
          <span class="quiet">
            {" "}
            {say("office.range")} <bdi dir="ltr">{range}</bdi>.
          </span>
        )}
        {h.donorKnown && !donor && <span class="quiet"> {say("office.donor-left", { n: h.donorLeft })}</span>}
      </span>
    </p>
  );
}

/** Placed is solid, held are strokes, the outline is the budget. */
function PlacedBar({ view: { headline: h, ledger: l } }: { view: View }): JSX.Element | null {
  const placed = Math.max(0, l.placedTotal);
  const held = Math.max(0, l.holdingTotal);
  const whole = Math.max(h.budget, placed + held);
  if (!h.budgetKnown || whole === 0) return null;
  const a = (1000 * placed) / whole;
  const b = (1000 * (placed + held)) / whole;
  return (
    <svg class="bar" viewBox="0 0 1000 20" preserveAspectRatio="none" aria-hidden="true">
      <defs>
        <pattern id="office-held" width="8" height="20" patternUnits="userSpaceOnUse">
          <path d="M2 0H5V20H2Z" fill="var(--held)" />
        </pattern>
      </defs>
      <path class="f" d="M1 1H999V19H1Z" />
      <path fill="url(#office-held)" d={`M${a} 0H${b}V20H${a}Z`} />
      <path fill="var(--kept)" d={`M0 0H${a}V20H0Z`} />
    </svg>
  );
}
