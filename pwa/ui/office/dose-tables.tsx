// Anaesthetic in the office: what was given against its limits, every agent with
// its limits and their source, the newest doses.
import "../parts/dose-words";
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import { agentName, asking, Cautions, groupName, mg, percent, shareWords, sourceOf, Weight } from "../parts/doses";
import { per } from "../parts/per";
import { clock, count, list, say } from "../parts/say";
import { writeDecimal } from "../parts/units";
import { WeightSheet } from "../phone/weight-sheet";
import { AgentCard } from "./agent-card";
import { Cell, Table } from "./table";
import type { TableOf } from "./tables";

const words = true;

export function DoseTables({ room, view }: TableOf): JSX.Element {
  const d = view.doses;
  const [weighing, setWeighing] = useState(false);
  return (
    <>
      <Table
        title={say("dose.title")}
        note={d.count === 0 ? say("dose.none") : say("dose.care.log")}
        columns={[
          { head: say("dose.agent"), words },
          { head: say("dose.doses") },
          { head: say("dose.given"), unit: "mg" },
          { head: say("dose.limit"), unit: "mg" },
          { head: say("dose.aDay"), unit: "mg" },
          { head: say("dose.shareHead") },
          { head: say("dose.nextHead") },
        ]}
        empty={d.groups.length === 0}
      >
        {d.groups.map((g) => (
          <tr key={`${groupName(g)}${g.ref}`}>
            <th scope="row">{groupName(g)}</th>
            <td>{count(g.doses)}</td>
            <Cell room={room} of="dose" {...asking(g)} strong>
              {mg(g.ug)}
            </Cell>
            <Cell room={room} of="dose limit" {...asking(g)}>
              {g.limitUg > 0 ? mg(g.limitUg) : "–"}
            </Cell>
            <td>{g.dailyUg > 0 ? mg(g.dailyUg) : "–"}</td>
            <Cell room={room} of="dose share" {...asking(g)} strong past={g.state === "past"}>
              {g.limitUg > 0 ? shareWords(g) : "–"}
            </Cell>
            <td>{g.limitUg > 0 && g.dailyUg === 0 ? per(g.nextParts, 10_000) : "–"}</td>
          </tr>
        ))}
      </Table>
      <section class="o-card o-doses">
        <h2>{say("dose.cautions")}</h2>
        <Weight view={view} />
        <p class="o-acts">
          <button type="button" class="do" onClick={() => setWeighing(true)}>
            {say("dose.weigh")}
          </button>
        </p>
        {weighing && <WeightSheet room={room} view={view} onClose={() => setWeighing(false)} />}
        {d.vasoconstrictorNg > 0 && (
          <p>
            {say("dose.vasoconstrictor")} {say("dose.ug", { n: writeDecimal(d.vasoconstrictorNg, 3) })}
          </p>
        )}
        <Cautions view={view} />
      </section>
      <Agents room={room} view={view} />
      <AgentCard room={room} />
      <Last room={room} view={view} />
    </>
  );
}

/** Every agent, its limits and who states them. */
function Agents({ view: { doses: d } }: TableOf): JSX.Element {
  const limit = (ug: number): string => (ug > 0 ? mg(ug) : "–");
  return (
    <Table
      title={say("dose.agents")}
      columns={[
        { head: say("dose.agent"), words },
        { head: say("dose.byWeight"), unit: "mg/kg" },
        { head: say("dose.oneDose"), unit: "mg" },
        { head: say("dose.aDay"), unit: "mg" },
        { head: say("dose.limit"), unit: "mg" },
        { head: say("dose.sold"), unit: "%" },
        { head: say("dose.source"), words },
      ]}
      empty={false}
    >
      {d.agents.map((a) => (
        <tr key={a.ref || a.label}>
          <th scope="row">{agentName(a)}</th>
          <td>{limit(a.perKgUg)}</td>
          <td>{limit(a.capUg)}</td>
          <td>{limit(a.dailyUg)}</td>
          <td class="o-strong">{limit(a.limitUg)}</td>
          <td>{list(a.strengths.map(percent))}</td>
          <td class="o-words">{sourceOf(a)}</td>
        </tr>
      ))}
    </Table>
  );
}

function Last({ view: { doses: d } }: TableOf): JSX.Element {
  return (
    <Table
      title={say("dose.newest")}
      columns={[
        { head: say("dose.when"), words },
        { head: say("dose.agent"), words },
        { head: say("dose.volumeHead"), unit: "mL" },
        { head: say("dose.strengthHead"), unit: "%" },
        { head: say("dose.given"), unit: "mg" },
        { head: say("dose.ratioHead") },
        { head: say("dose.noted"), words },
      ]}
      empty={d.last.length === 0}
    >
      {d.last.map((one) => (
        <tr key={one.ref}>
          <th scope="row">
            {clock(one.atMs)} {one.person}
          </th>
          <td class="o-words">{agentName(one)}</td>
          <td>{mg(one.volumeUl)}</td>
          <td>{percent(one.strength)}</td>
          <td class="o-strong">{mg(one.ug)}</td>
          <td>{one.ratio > 0 ? say("dose.ratio", { n: one.ratio }) : "–"}</td>
          <td class="o-words">
            {[
              one.site,
              one.tumescent ? say("dose.isDilute") : "",
              one.earlier ? say("dose.isEarlier") : "",
              one.asked ? say("dose.asked") : "",
            ]
              .filter(Boolean)
              .join(", ")}
          </td>
        </tr>
      ))}
    </Table>
  );
}
