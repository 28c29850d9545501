// Quality in the office: every rate with its counts and interval, the watch on cut
// grafts and its setting, and each pass in groups of 50.
import "../parts/quality-words";
import type { JSX } from "preact";
import { useEffect, useState } from "preact/hooks";
import type { Chart } from "../../bridge/messages";
import type { QualityRow, Ref, View } from "../../bridge/protocol.gen";
import { per } from "../parts/per";
import { ChancesWords, Counted, type RateName, rangeWords, rateWord, rowName, shareWords, typedOf, watchOf } from "../parts/rates";
import type { Room } from "../parts/room";
import { clock, count, say, type Under } from "../parts/say";
import { decimalsOf, writeDecimal } from "../parts/units";
import { Card } from "./card";
import { Field } from "./field";
import { tell, useForm } from "./form";
import { conflictOf, NotChosen } from "./not-chosen";
import { ShareChart } from "./share-chart";
import { Cell, Table } from "./table";
import type { TableOf } from "./tables";

const words = true;

export function QualityTables(of: TableOf): JSX.Element {
  return (
    <>
      <RateTable {...of} />
      <WatchTable {...of} />
      <ChartCard {...of} />
      <WatchCard {...of} />
    </>
  );
}

const shown: readonly RateName[] = ["total", "partial", "follicles", "topped", "empty"];

function RateTable({ room, view }: TableOf): JSX.Element {
  const { rows } = view.quality;
  const columns = [
    { head: say("quality.what"), words },
    ...shown.flatMap((name) => [
      { head: rateWord(name), unit: say("quality.ofAll") },
      { head: say("quality.share"), unit: say("quality.interval") },
    ]),
    { head: say("quality.buriedHead"), unit: say("quality.open") },
  ];
  const empty = !rows[0]?.rates.total.known;
  return (
    <Table title={say("quality.table")} note={say(empty ? "quality.begins" : "quality.lowerBound")} columns={columns} empty={empty}>
      {rows.map((row) => (
        <tr key={`${row.by}${row.at}${row.name}`}>
          <th scope="row" class="o-words">
            {row.by === "all" || row.by === "pass"
              ? rowName(row)
              : say(`quality.row.${row.by}` as Under<"quality.row.">, { name: rowName(row) })}
          </th>
          {shown.flatMap((name) => [
            <td key={name}>{row.rates[name].of > 0 ? <Counted room={room} row={row} name={name} /> : "–"}</td>,
            <RateCell key={`${name} share`} row={row} name={name} />,
          ])}
          <td>{row.by === "all" ? count(row.buriedOpen) : "–"}</td>
        </tr>
      ))}
    </Table>
  );
}

function RateCell({ row, name }: { row: QualityRow; name: RateName }): JSX.Element {
  const rate = row.rates[name];
  if (!rate.known) return <td class="quiet">–</td>;
  return (
    <td>
      <b>{shareWords(rate)}</b> <span class="quiet">{rangeWords(rate)}</span>
    </td>
  );
}

function WatchTable({ room, view }: TableOf): JSX.Element {
  const { watched, h100 } = view.quality;
  const limit = writeDecimal(h100, decimalsOf.watch);
  const columns = [
    { head: say("quality.what"), words },
    { head: say("quality.sumHead"), unit: say("quality.limit", { n: limit }) },
    { head: say("quality.cutHead") },
    { head: say("quality.triedHead") },
    { head: say("quality.sinceHead") },
    { head: say("quality.asksHead"), words },
  ];
  return (
    <Table
      title={say("quality.watch")}
      note={say(watched.length === 0 ? "quality.notWatched" : "quality.watchNote")}
      columns={columns}
      empty={watched.length === 0}
    >
      {watched.map((w) => (
        <tr key={w.pass}>
          <th scope="row" class="o-words">
            {say("quality.pass", { n: w.number })}
          </th>
          <Cell room={room} of="watch" at={w.pass} strong={w.asks}>
            {writeDecimal(w.sum100, decimalsOf.watch)}
          </Cell>
          <td>{count(w.cut)}</td>
          <td>{count(w.trials)}</td>
          <td>{w.sinceMs > 0 ? clock(w.sinceMs) : "–"}</td>
          <td class={w.asks ? "o-words o-asks" : "o-words quiet"}>
            {w.asks ? say("quality.asksSince", { time: clock(w.askingMs) }) : say("quality.calm")}
          </td>
        </tr>
      ))}
    </Table>
  );
}

/** A pass in groups of 50 outcomes: drawn, and as a table beside it. */
function ChartCard({ room, view }: TableOf): JSX.Element | null {
  const passes = view.passes.map((p, i) => ({ ref: p.ref, n: i + 1, mode: p.mode })).filter((p) => p.mode !== "exception");
  const [picked, setPicked] = useState<Ref>("");
  const pass = passes.find((p) => p.ref === picked) ?? passes.at(-1);
  const chart = useChart(room, pass?.ref ?? "", view);
  if (!pass) return null;
  const groups = chart?.groups ?? [];
  const limits = chart && { mean: per(chart.mean, 10_000), low: per(chart.low, 10_000), high: per(chart.high, 10_000) };
  return (
    <section class="o-card o-chart">
      <h2>{say("quality.chart")}</h2>
      <label class="o-field o-chart-of">
        <span>{say("quality.chartOf")}</span>
        <select value={pass.ref} onChange={(e) => setPicked(e.currentTarget.value)}>
          {passes.map((p) => (
            <option key={p.ref} value={p.ref}>
              {say("quality.pass", { n: p.n })}
            </option>
          ))}
        </select>
      </label>
      {chart && groups.length > 0 ? <ShareChart of={chart} /> : <p class="quiet">{say("quality.chartNone")}</p>}
      {chart && limits && groups.length > 0 ? (
        <>
          <p class="quiet">{say("quality.chartNote", { ...limits, rest: chart.rest })}</p>
          <Table title={say("quality.chartTable")} columns={chartColumns()} empty={false}>
            {groups.map((g, i) => (
              <tr key={i}>
                <th scope="row">{count(i + 1)}</th>
                <td>{count(g.cut)}</td>
                <td>{clock(g.atMs)}</td>
                <td class={g.out ? "o-words o-asks" : "o-words quiet"}>{say(g.out ? "quality.outside" : "quality.inside")}</td>
              </tr>
            ))}
          </Table>
        </>
      ) : null}
    </section>
  );
}

const chartColumns = () => [
  { head: say("quality.group") },
  { head: say("quality.groupCut"), unit: say("quality.of50") },
  { head: say("quality.groupAt") },
  { head: say("quality.groupIs"), words },
];

/** The chart of a pass; asked for again when something was counted. */
function useChart(room: Room, pass: Ref, view: View): Chart | null {
  const [chart, setChart] = useState<Chart | null>(null);
  useEffect(() => {
    if (pass === "") return setChart(null);
    let over = false;
    void room.chart(pass).then((got) => !over && setChart(got));
    return () => {
      over = true;
    };
  }, [room, pass, view.session.events]);
  return chart;
}

const owners = { "watch-share": "usual", "watch-order": "notice", "watch-limit": "limit" } as const;

/** The setting of the watch, and what it leads to while it is chosen. */
function WatchCard({ room, view }: TableOf): JSX.Element {
  const form = useForm<"usual" | "notice" | "limit">({ ...typedOf(view.quality) });
  const keep = (): void => {
    void form.run(async () => {
      const fact = watchOf(form.values);
      return fact ? tell<"usual" | "notice" | "limit">(room, fact, owners) : { form: say("quality.watchWrong") };
    });
  };
  return (
    <Card
      title={say("quality.setWatch")}
      kept={form.kept}
      onKeep={keep}
      keep={say("quality.setWatch")}
      busy={form.busy}
      error={form.errors.form}
    >
      <NotChosen of={conflictOf(view, "watch")} />
      <p class="quiet">{say("quality.watchWhy")}</p>
      {(["usual", "notice", "limit"] as const).map((name) => (
        <Field
          key={name}
          label={say(`quality.field.${name}` as Under<"quality.field.">)}
          numeric
          value={form.values[name]}
          error={form.errors[name]}
          onInput={form.type(name)}
        />
      ))}
      {view.quality.watched.some((w) => w.asks) ? <p class="tight">{say("quality.watchEnds")}</p> : null}
      <ChancesWords room={room} typed={form.values} />
    </Card>
  );
}
