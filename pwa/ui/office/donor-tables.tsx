// Tables of the donor: what each region gave and what stands there, and which
// pass took it.
import type { JSX } from "preact";
import type { Region, Taken, View } from "../../bridge/protocol.gen";
import { per } from "../parts/per";
import { clock, count, list, say, type Under } from "../parts/say";
import { decimalsOf, writeDecimal } from "../parts/units";
import { Cell, Table } from "./table";
import type { TableOf } from "./tables";

const words = true;

export function RegionTable({ room, view }: TableOf): JSX.Element {
  const { regions, ledger: l } = view;
  const columns = [
    { head: say("office.region"), words },
    { head: say("office.area"), unit: "cm²" },
    { head: say("office.density"), unit: say("office.per-cm2") },
    { head: say("office.may-give") },
    { head: say("office.attempts") },
    { head: say("office.attempts-per"), unit: say("office.per-cm2") },
    { head: say("office.left-head") },
    { head: say("office.share-allowed") },
    { head: say("office.share-taken") },
    { head: say("office.units-stand"), unit: say("office.per-cm2") },
    { head: say("office.hairs-stand"), unit: say("office.per-cm2") },
    { head: say("office.limits"), words },
  ];
  return (
    <Table
      title={say("office.region-table")}
      note={regions.length === 0 ? say("office.regions-none") : say("office.region-note", { floor: per(l.floorHairs10, 10) })}
      columns={columns}
      empty={regions.length === 0}
    >
      {regions.map((r) => (
        <tr key={r.ref}>
          <th scope="row">
            <b class="o-code">{r.code}</b> {r.name}
          </th>
          <td>{writeDecimal(r.areaMm2, decimalsOf.area)}</td>
          <td>
            {writeDecimal(r.density10, decimalsOf.density)}
            {r.today && <span class="quiet"> {say("office.today-short")}</span>}
          </td>
          <Cell room={room} of="capacity" at={r.ref}>
            {count(r.capacity)}
          </Cell>
          <Cell room={room} of="attempted" at={r.ref} strong>
            {count(r.punched)}
          </Cell>
          <td>{per(r.perCm2x10, 10)}</td>
          <td class={r.left < 0 ? "o-limit" : ""}>
            <bdi dir="ltr">{count(r.left)}</bdi>
          </td>
          <td>{per(r.sharePerMille, 1000)}</td>
          <Cell room={room} of="share" at={r.ref} past={r.pastShare}>
            {per(r.shareTaken, 10_000)}
          </Cell>
          <Cell room={room} of="residual" at={r.ref}>
            {per(r.residualUnits10, 10)}
          </Cell>
          <td class={r.belowFloor ? "o-limit" : ""}>{r.hairsKnown ? per(r.residualHairs10, 10) : say("office.not-known")}</td>
          <td class="o-words">{limitsOf(r)}</td>
        </tr>
      ))}
      <tr class="o-sumrow">
        <th scope="row">{say("office.all")}</th>
        <td />
        <td />
        <td>{count(l.capacityTotal)}</td>
        <Cell room={room} of="attempted" strong>
          {count(l.attempts.punched)}
        </Cell>
        <td />
        <Cell room={room} of="donor left">
          {count(view.headline.donorLeft)}
        </Cell>
        <td />
        <td />
        <td />
        <td />
        <td class="o-words">{l.punchedNowhere > 0 && say("office.nowhere", { n: l.punchedNowhere })}</td>
      </tr>
    </Table>
  );
}

/** Where a region stands against the share and the floor. */
function limitsOf(r: Region): JSX.Element | string {
  if (!r.pastShare && !r.belowFloor) return say(r.hairsKnown ? "office.within" : "office.within-share");
  const said = [r.pastShare ? say("office.past-share") : "", r.belowFloor ? say("office.below-floor") : ""].filter((s) => s !== "");
  return <b class="o-limit">{list(said)}</b>;
}

/** A region's code, or that none was named. */
const regionName = (t: Taken, view: View): string => view.regions.find((r) => r.ref === t.region)?.code ?? say("office.no-region");

export function TakenTable({ room, view }: TableOf): JSX.Element {
  const columns = [
    { head: say("office.pass"), words },
    { head: say("office.operator"), words },
    { head: say("office.counted-how"), words },
    { head: say("office.punch"), unit: "mm" },
    { head: say("office.region"), words },
    { head: say("office.attempts") },
    { head: say("office.out") },
  ];
  const pass = (t: Taken): View["passes"][number] | undefined => view.passes.find((p) => p.ref === t.pass);
  return (
    <Table
      title={say("office.taken-table")}
      {...(view.taken.length === 0 ? { note: say("office.taken-none") } : {})}
      columns={columns}
      empty={view.taken.length === 0}
    >
      {view.taken.map((t) => {
        const p = pass(t);
        return (
          <tr key={`${t.pass} ${t.region}`}>
            <th scope="row">{p ? clock(p.begunMs) : ""}</th>
            <td class="o-words">{p?.operator}</td>
            <td class="o-words">{p?.mode ? say(`mode.${p.mode}` as Under<"mode.">) : ""}</td>
            <td>{p && p.diameterUm > 0 ? writeDecimal(p.diameterUm, 3) : "–"}</td>
            <td class="o-words">{regionName(t, view)}</td>
            <td class="o-strong">{count(t.punched)}</td>
            <td>{count(t.out)}</td>
          </tr>
        );
      })}
      <tr class="o-sumrow">
        <th scope="row">{say("office.all")}</th>
        <td />
        <td />
        <td />
        <td />
        <Cell room={room} of="attempted" strong>
          {count(view.ledger.attempts.punched)}
        </Cell>
        <Cell room={room} of="out">
          {count(view.ledger.out)}
        </Cell>
      </tr>
    </Table>
  );
}
