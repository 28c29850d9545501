// Where the grafts are, and how it came to that: the day under its budget. Solid
// is placed, strokes are held, grey lies on the bench.
import type { JSX } from "preact";
import type { View } from "../../bridge/protocol.gen";
import { shortDuration } from "../parts/duration";
import { FlowPicture, FlowTable } from "../parts/flow";
import { count, type Key, say } from "../parts/say";
import { Still } from "../parts/still";
import { Glyph } from "../parts/strokes";
import { Finish } from "./finish";
import { Fit } from "./fit";
import { Said } from "./said";

const wide = 944; // units
const high = 176;

interface Part {
  name: "placed" | "held" | "bench" | "way";
  word: Key;
  n: number;
}

function partsOf({ ledger: l, headline: h }: View): Part[] {
  return [
    { name: "placed", word: "wall.placed", n: l.placedTotal },
    { name: "held", word: "wall.held", n: l.holdingTotal },
    { name: "bench", word: "wall.bench", n: l.bench },
    { name: "way", word: "wall.way", n: h.onTheWay },
  ];
}

/** The tables, for whoever is read to, are told anew once a minute; after the end with what comes late. */
export function Picture({ view }: { view: View }): JSX.Element {
  const parts = partsOf(view);
  const { openedMs, endedMs } = view.session;
  return (
    <section class="w-day" aria-label={say("wall.grafts")}>
      <Above view={view} />
      <Still of={[view.flow, view.headline, view.pace, openedMs, endedMs]}>
        {() => <FlowPicture view={view} id="wall-held" wide={wide} high={high} />}
      </Still>
      <Below parts={parts} />
      <Finish view={view} />
      <Still of={endedMs > 0 ? [view.flow, view.headline, view.ledger] : [openedMs, Math.floor(view.flow.curve.toMs / 60_000), 0]}>
        {() => <Table view={view} parts={parts} />}
      </Still>
    </section>
  );
}

const Label = ({ name, of, n }: { name: string; of: Key; n: number }): JSX.Element => (
  <p class={`w-label w-${name}`}>
    <b>
      <bdi dir="ltr">{count(n)}</bdi>
    </b>{" "}
    <span>{say(of)}</span>
  </p>
);

/** How long the oldest graft is out, and that a limit is passed by a shape as well; nothing while none waits. */
function Oldest({ view: { timeOut: o, session } }: { view: View }): JSX.Element | null {
  if (o.oldestMin === 0 || session.endedMs > 0) return null;
  return (
    <p class={`w-label w-oldest${o.oldest === "within" ? "" : ` w-${o.oldest}`}`}>
      {o.oldest === "within" ? null : <Glyph of={o.oldest === "red" ? "past" : "ask"} />}
      <span>
        <Said of="wall.out-oldest" with={{ time: shortDuration(o.oldestMin) }} />
      </span>
    </p>
  );
}

/** How long a graft that is taken now will be out; nothing without a forecast, and none is placed as it is taken. */
function Ahead({ view: { timeOut: o, session } }: { view: View }): JSX.Element | null {
  if ((o.basis !== "measured" && o.basis !== "planned") || o.forecastMin === 0 || session.endedMs > 0) return null;
  return (
    <p class="w-label w-oldest">
      <span>
        <Said of="wall.out-ahead" with={{ time: shortDuration(o.forecastMin) }} />
      </span>
    </p>
  );
}

/** What is out, since when its oldest is, and the budget over the double rule. The forecast leaves first, then "out"; then what is past no limit. */
function Above({ view }: { view: View }): JSX.Element {
  const { ledger: l, headline: h, timeOut: o } = view;
  const budget = h.budgetKnown ? <Label name="budget" of="wall.budget" n={h.budget} /> : null;
  const oldest = <Oldest view={view} />;
  const out = <Label name="out" of="wall.out" n={l.out} />;
  return (
    <Fit
      className="w-line w-above"
      of={JSON.stringify([l.out, h.budgetKnown && h.budget, o.oldestMin, o.oldest, o.basis, o.forecastMin, view.session.endedMs > 0])}
      choices={[
        () => (
          <>
            {out}
            {oldest}
            <Ahead view={view} />
            {budget}
          </>
        ),
        () => (
          <>
            {out}
            {oldest}
            {budget}
          </>
        ),
        () => (
          <>
            {oldest}
            {budget}
          </>
        ),
        () => (o.oldest === "within" ? budget : oldest),
        () => budget,
      ]}
    />
  );
}

/** The labels, each underlined with the texture that it names. The way leaves first, then the bench, then what is held. */
function Below({ parts }: { parts: Part[] }): JSX.Element {
  const named = parts.filter((p) => p.n !== 0 || p.name === "placed" || p.name === "held");
  const row = (without: readonly Part["name"][]): JSX.Element => (
    <>
      {named
        .filter((p) => !without.includes(p.name))
        .map((p) => (
          <Label key={p.name} name={p.name} of={p.word} n={p.n} />
        ))}
    </>
  );
  return (
    <Fit
      className="w-below"
      of={named.map((p) => `${p.n} ${p.name}`).join(" ")}
      choices={[() => row([]), () => row(["way"]), () => row(["way", "bench"]), () => row(["way", "bench", "held"])]}
    />
  );
}

/** The same for those who can not see the picture: what is where now, and the day by half hours. */
function Table({ view, parts }: { view: View; parts: Part[] }): JSX.Element {
  const { headline: h, ledger: l } = view;
  const rows: [Key, number][] = [
    ...(h.budgetKnown
      ? ([
          ["wall.budget", h.budget],
          ["wall.table-take", h.toTake],
        ] as [Key, number][])
      : []),
    ["wall.out", l.out],
    ...parts.map((p): [Key, number] => [p.word, p.n]),
  ];
  return (
    <div class="off">
      <table>
        <caption>{say("wall.grafts")}</caption>
        <tbody>
          {rows.map(([key, n]) => (
            <tr key={key}>
              <th scope="row">{say(key)}</th>
              <td>{count(n)}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <FlowTable view={view} />
    </div>
  );
}
