// The stop rule: one bar is what the donor still allows, cut into its regions;
// the double rule stands where the need ends.
import type { JSX } from "preact";
import type { Region, View } from "../../bridge/protocol.gen";
import { count, type Key, say } from "../parts/say";
import { spent } from "../parts/spent";
import { Fit } from "./fit";
import { Said } from "./said";

interface Sentence {
  of: Key;
  short: Key; // when the line is full
  figures: Readonly<Record<string, string>>;
  alone?: boolean; // it is worth more than the figure at the end of its line
}

/** What is said once nothing is to take: what is held, while tallies say that anything is, and how much of it no zone needs. */
function met({ headline: h, ledger: l, zones }: View): Sentence {
  const over = zones.length > 0 ? l.holdingTotal - zones.reduce((all, z) => all + Math.max(0, z.toPlace), 0) : 0;
  if (l.holdingTotal > 0) {
    const figures = { n: count(l.holdingTotal), over: count(over) };
    return over > 0
      ? { of: "wall.met-over", short: "wall.met", figures, alone: true }
      : { of: "wall.met", short: "wall.met-short", figures };
  }
  if (l.placedTotal >= h.budget) return { of: "wall.met-placed", short: "wall.ended-short", figures: { n: count(l.placedTotal) } };
  return { of: "wall.met-out", short: "wall.met-out", figures: {} };
}

/** What the line above the bar says. */
function sentence(view: View): Sentence {
  const { headline: h, session, ledger: l } = view;
  const between = h.stopFrom < h.stopAt; // a phone is away, and may have taken more
  const n = { n: between ? `${count(h.stopFrom)}–${count(h.stopAt)}` : count(h.stopAt) };
  if (session.endedMs > 0) return { of: "wall.ended-late", short: "wall.ended-short", figures: { n: count(l.placedTotal) } };
  if (!h.budgetKnown) return { of: "wall.plan-missing", short: "wall.plan-short", figures: {} };
  if (h.toTake === 0) return met(view);
  if (spent(view)) return { of: "wall.lacks", short: "wall.lacks-short", figures: { n: count(h.toTake) } };
  if (h.stops === "donor") return { of: "wall.donor-first", short: "wall.donor-short", figures: n };
  if (between) return { of: "wall.need-first", short: "wall.need-short", figures: n };
  if (!h.rangeKnown && session.stations.includes("extraction")) return { of: "wall.early", short: "wall.need-short", figures: n };
  return { of: "wall.need-about", short: "wall.need-short", figures: n };
}

/** The figure at the end of the line: the side that does not stop first; what asks says it where nothing more may be taken. */
function otherSide(view: View): [Key, string] | null {
  const { headline: h, session } = view;
  if (spent(view)) return null;
  if (session.endedMs === 0 && h.budgetKnown && h.stops === "donor") return ["wall.need", count(h.attempts)];
  return h.donorKnown ? ["wall.donor", count(h.donorLeft)] : null;
}

export function StopRule({ view, bar }: { view: View; bar: boolean }): JSX.Element {
  const { of, short, figures, alone } = sentence(view);
  const other = alone ? null : otherSide(view);
  const line = (key: Key, both: boolean, narrow = false): JSX.Element => (
    <>
      <p class={narrow ? "w-narrow" : ""}>
        <Said of={key} with={figures} />
      </p>
      {both && other && (
        <p class="quiet">
          <Said of={other[0]} with={{ n: other[1] }} />
        </p>
      )}
    </>
  );
  return (
    <section class="w-stop" aria-label={say("wall.stop")}>
      <Fit
        className="w-line"
        of={`${say(of, figures)} ${other ? other.join(" ") : ""}`}
        choices={[
          () => line(of, true),
          () => line(short, true),
          () => line(of, false),
          () => line(short, false),
          () => line(short, false, true),
        ]}
      />
      {bar ? <Bar view={view} /> : null}
    </section>
  );
}

/** Where the double rule stands, as a part of the bar; null when the need does not end within it. */
function needEnd({ headline: h, session }: View, whole: number): number | null {
  if (session.endedMs > 0 || !h.budgetKnown || h.stops === "donor" || whole === 0) return null;
  return Math.min(1, h.attempts / whole);
}

function Bar({ view }: { view: View }): JSX.Element {
  const { headline: h, ledger: l, regions } = view;
  if (!h.donorKnown) return <p class="w-rule w-none quiet">{say("wall.donor-missing")}</p>;
  const past = regions.filter((r) => r.left < 0);
  const open = regions.filter((r) => r.left > 0);
  const whole = open.reduce((sum, r) => sum + r.left, 0); // a length, in attempts
  const none = h.donorLeft === 0;
  const end = needEnd(view, whole);
  const donorEnds = view.session.endedMs === 0 && h.budgetKnown && h.stops === "donor" && !none;
  const beside = `${past.map((r) => `${r.code} ${r.left}`).join("|")} ${donorEnds}`; // what takes room of the cells
  let from = 0;
  const cells = open.map((r) => {
    const part = r.left / whole;
    const cell = <Open key={r.ref} region={r} beside={beside} part={part} cut={end === null ? null : (end - from) / part} />;
    from += part;
    return cell;
  });
  return (
    <div class={`w-rule${none ? " w-spent" : ""}`}>
      {past.length > 0 && <Past regions={past} all={open.length === 0} />}
      <div class="w-open">
        {cells}
        {whole === 0 && past.length === 0 && <p class="quiet w-nothing">{say("wall.regions-done")}</p>}
        {l.punchedNowhere > 0 && whole > 0 && <i class="w-nowhere" style={`inline-size:${100 * Math.min(1, l.punchedNowhere / whole)}%`} />}
        <i class="w-base" style={`inline-size:${100 * (end ?? 1)}%`} />
        {end !== null && <i class={end === 0 ? "w-double w-first" : "w-double"} style={`inset-inline-start:${100 * end}%`} />}
      </div>
      {donorEnds && <i class="w-end" />}
    </div>
  );
}

const Cell = ({ region, code = true, floor = false }: { region: Region; code?: boolean; floor?: boolean }): JSX.Element => (
  <>
    {code && <span class="quiet">{region.code} </span>}
    {floor && <span>{say("wall.floor")} </span>}
    <b>
      <bdi dir="ltr">{count(region.left)}</bdi>
    </b>
  </>
);

/** The regions past what they allow. Where not all have room the least past leave, and are counted. */
function Past({ regions, all }: { regions: Region[]; all: boolean }): JSX.Element {
  const furthest = [...regions].sort((a, b) => a.left - b.left);
  const row = (n: number) => (): JSX.Element => (
    <>
      {regions
        .filter((r) => furthest.indexOf(r) < n)
        .map((r) => (
          <p key={r.ref} class="w-past-region">
            <Cell region={r} />
          </p>
        ))}
      {n < regions.length && (
        <p class="w-past-region">
          <Said of={n > 0 ? "wall.regions-more" : "wall.regions-past"} with={{ n: count(regions.length - n) }} />
        </p>
      )}
    </>
  );
  return (
    <Fit
      className={all ? "w-past-regions w-all" : "w-past-regions"}
      of={`${regions.map((r) => `${r.code} ${r.left}`).join("|")} ${all}`}
      choices={[...regions.map((_, i) => row(regions.length - i)), row(0)]}
    />
  );
}

interface Opened {
  region: Region;
  beside: string; // what is drawn beside all regions
  part: number; // of the bar
  cut: number | null; // where the double rule falls, as a part of this region
}

/**
 * A region with some left, in the limit's colours where fewer hairs stand than should. Its words stand on the longer side of the double
 * rule; too narrow for them it drops its code, then its figure.
 */
function Open({ region, beside, part, cut }: Opened): JSX.Element {
  const within = cut !== null && cut > -0.05 && cut < 1.05 ? Math.min(1, Math.max(0, cut)) : null;
  const before = within !== null && within >= 0.5;
  const side = within === null ? "" : before ? `inline-size:${100 * within}%` : `margin-inline-start:${100 * within}%`;
  return (
    <div
      class={`w-region${region.belowFloor ? " w-floor" : ""}${within === null ? "" : before ? " w-before" : " w-after"}`}
      style={`inline-size:${100 * part}%`}
    >
      <div style={side}>
        <Fit
          className="w-line"
          of={`${region.code} ${region.left} ${region.belowFloor} ${beside} ${Math.round(1000 * part)} ${within === null ? "" : Math.round(100 * within)}`}
          choices={[
            ...(region.belowFloor ? [() => <Cell region={region} floor />] : []),
            () => <Cell region={region} />,
            () => <Cell region={region} code={false} />,
            () => <span class="off">{say("wall.region", { code: region.code, n: region.left })}</span>,
          ]}
        />
      </div>
    </div>
  );
}
