// Tables of grafts: the need, the mix, hairs, dishes and recounts.
import type { JSX } from "preact";
import type { Recount, View } from "../../bridge/protocol.gen";
import { duration } from "../parts/duration";
import { per } from "../parts/per";
import { clock, count, list, say, type Under } from "../parts/say";
import { SizeGlyph } from "../parts/strokes";
import { decimalsOf, writeDecimal } from "../parts/units";
import { beyondBudget } from "../parts/whole-plan";
import { Cell, sizeColumns, Table } from "./table";
import type { TableOf } from "./tables";

const words = true;

/** A size as its strokes and its words. */
const SizeName = ({ size }: { size: number }): JSX.Element => (
  <>
    {size > 0 && <SizeGlyph size={size} />} {say(`size.${size}` as Under<"size.">)}
  </>
);

/** What each zone needs, by size, and how far it is. */
export function NeedTable({ room, view }: TableOf): JSX.Element {
  const { zones, ledger: l, mix } = view;
  const columns = [
    { head: say("office.zone"), words },
    { head: say("office.area"), unit: "cm²" },
    { head: say("office.density"), unit: say("office.per-cm2") },
    ...sizeColumns,
    { head: say("office.need") },
    { head: say("office.sites") },
    { head: say("office.placed") },
    beyondBudget(view) ? { head: say("office.to-place"), unit: say("office.whole-plan") } : { head: say("office.to-place") },
  ];
  return (
    <Table
      title={say("office.need-table")}
      note={zones.length === 0 ? say("office.zones-none") : say("office.need-note")}
      columns={columns}
      empty={zones.length === 0}
    >
      {zones.map((z) => (
        <tr key={z.ref}>
          <th scope="row">{z.name}</th>
          <td>{writeDecimal(z.areaMm2, decimalsOf.area)}</td>
          <td>{writeDecimal(z.density10, decimalsOf.density)}</td>
          {z.need.map((n, i) => (
            <td key={i}>{count(n)}</td>
          ))}
          <Cell room={room} of="need" at={z.ref} strong>
            {count(z.needTotal)}
          </Cell>
          <td>{count(z.sitesTotal)}</td>
          <Cell room={room} of="placed" at={z.ref}>
            {count(z.placedTotal)}
          </Cell>
          <td>{count(z.toPlace)}</td>
        </tr>
      ))}
      <tr class="o-sumrow">
        <th scope="row">{say("office.all")}</th>
        <td />
        <td />
        {mix.need.map((n, i) => (
          <td key={i}>{count(n)}</td>
        ))}
        <Cell room={room} of="need" strong>
          {count(l.needTotal)}
        </Cell>
        <td />
        <Cell room={room} of="placed">
          {count(l.placedTotal)}
        </Cell>
        <td />
      </tr>
    </Table>
  );
}

/** What the sorting leads to, against what is needed. */
export function MixTable({ room, view }: TableOf): JSX.Element {
  const { mix: m, ledger: l, headline: h } = view;
  const columns = [
    { head: say("office.size"), words },
    { head: say("office.need") },
    { head: say("office.sorted") },
    { head: say("office.expected") },
    { head: say("office.over") },
    { head: say("office.splits") },
    { head: say("office.after") },
  ];
  const note = !m.known
    ? say("office.mix-unknown")
    : m.splitsTotal > 0
      ? say(m.covered ? "office.mix-covered" : "office.mix-uncovered", { n: m.splitsTotal })
      : say("office.mix-note", { n: m.remaining });
  const whole = m.known && beyondBudget(view) ? say("office.mix-whole", { need: l.needTotal, budget: h.budget }) : "";
  return (
    <Table title={say("office.mix-table")} note={`${note}${whole}`} columns={columns} empty={!m.known}>
      {m.need.map((need, i) => (
        <tr key={i}>
          <th scope="row">
            <SizeName size={i + 1} />
          </th>
          <td>{count(need)}</td>
          <Cell room={room} of="sorted" size={i + 1}>
            {count(m.sorted[i] ?? 0)}
          </Cell>
          <Cell room={room} of="mix" size={i + 1} strong>
            {count(m.expected[i] ?? 0)}
          </Cell>
          <td>
            {(m.over[i] ?? 0) < 0 && <span class="o-asks">{say("office.short")} </span>}
            <bdi dir="ltr">{count(m.over[i] ?? 0)}</bdi>
          </td>
          <td>{count(m.splits[i] ?? 0)}</td>
          <td>
            <bdi dir="ltr">{count(m.after[i] ?? 0)}</bdi>
          </td>
        </tr>
      ))}
    </Table>
  );
}

/** Grafts and hairs, placed by zone, and in all. */
export function HairTable({ room, view }: TableOf): JSX.Element {
  const { zones, ledger: l, mix: m } = view;
  const columns = [
    { head: say("office.placed-in"), words },
    ...sizeColumns,
    { head: say("office.grafts-head") },
    { head: say("office.hairs-head"), unit: say("office.at-least") },
    { head: say("office.per-graft"), unit: say("office.hairs-unit") },
  ];
  const none = l.placedTotal === 0 && m.hairs === 0;
  const perGraft = (n: number): string => (n > 0 ? per(n, 100) : "–");
  return (
    <Table title={say("office.hairs-table")} note={say(none ? "office.hairs-none" : "office.hairs-note")} columns={columns} empty={none}>
      {zones.map((z) => (
        <tr key={z.ref}>
          <th scope="row">{z.name}</th>
          {z.placed.map((n, i) => (
            <td key={i}>{count(n)}</td>
          ))}
          <Cell room={room} of="placed" at={z.ref} strong>
            {count(z.placedTotal)}
          </Cell>
          <td>{count(z.hairs)}</td>
          <td>{perGraft(z.hairsPerGraft100)}</td>
        </tr>
      ))}
      <tr class="o-sumrow">
        <th scope="row">{say("office.all-placed")}</th>
        {l.placed.map((n, i) => (
          <td key={i}>{count(n)}</td>
        ))}
        <Cell room={room} of="placed" strong>
          {count(l.placedTotal)}
        </Cell>
        <td>{count(m.hairsPlaced)}</td>
        <td>{perGraft(m.placedPerGraft100)}</td>
      </tr>
      <tr>
        <th scope="row">{say("office.all-sorted")}</th>
        {m.sorted.map((n, i) => (
          <td key={i}>{count(n)}</td>
        ))}
        <Cell room={room} of="sorted" strong>
          {count(m.sortedTotal)}
        </Cell>
        <Cell room={room} of="hairs">
          {count(m.hairs)}
        </Cell>
        <td>{perGraft(m.hairsPerGraft100)}</td>
      </tr>
    </Table>
  );
}

/** The dishes that are open, or should be empty and are not. */
export function DishTable({ room, view: { dishes } }: TableOf): JSX.Element {
  const columns = [
    { head: say("office.dish"), words },
    { head: say("office.for-size"), words },
    ...sizeColumns,
    { head: say("office.in-all") },
    { head: say("office.opened-at") },
    { head: say("office.oldest-in"), unit: say("office.at-least") },
    { head: say("office.state"), words },
  ];
  return (
    <Table
      title={say("office.dishes-table")}
      {...(dishes.length === 0 ? { note: say("office.dishes-none") } : {})}
      columns={columns}
      empty={dishes.length === 0}
    >
      {dishes.map((d) => (
        <tr key={d.ref}>
          <th scope="row">{d.label}</th>
          <td class="o-words">{d.size === 0 ? say("office.mixed") : <SizeName size={d.size} />}</td>
          {d.in.map((n, i) => (
            <td key={i}>{count(n)}</td>
          ))}
          <Cell room={room} of="dish" at={d.ref} strong>
            {count(d.total)}
          </Cell>
          <td>{clock(d.openedMs)}</td>
          <td class={d.held === "red" ? "o-limit" : ""}>{d.sinceMs > 0 ? duration(d.heldMin) : "–"}</td>
          <td class="o-words">{say(d.closed ? "office.closed-not-empty" : "office.open-dish")}</td>
        </tr>
      ))}
    </Table>
  );
}

/** Where objects were counted again. */
export function placeOf(at: string, size: number, view: View): string {
  const name = view.zones.find((z) => z.ref === at)?.name ?? view.dishes.find((d) => d.ref === at)?.label ?? "";
  return list([name, size > 0 ? say(`size.${size}` as Under<"size.">) : ""].filter((s) => s !== ""));
}

/** Every recount of objects, beside what the ledger said. */
export function RecountTable({ view }: TableOf): JSX.Element {
  const { recounts } = view;
  const columns = [
    { head: say("office.at"), words },
    { head: say("office.what"), words },
    { head: say("office.counted") },
    { head: say("office.ledger-said") },
    { head: say("office.apart-head") },
    { head: say("office.who"), words },
  ];
  const row = (r: Recount): JSX.Element => (
    <tr key={r.ref}>
      <th scope="row">{clock(r.atMs)}</th>
      <td class="o-words">
        {say(`office.counted-${r.what}` as Under<"office.counted-">)} <span class="quiet">{placeOf(r.at, r.size, view)}</span>
      </td>
      <td>{count(r.counted)}</td>
      <td>{count(r.ledger)}</td>
      <td class="o-strong">
        <bdi dir="ltr">{count(r.amount)}</bdi>
      </td>
      <td class="o-words">{r.person}</td>
    </tr>
  );
  return (
    <Table
      title={say("office.recounts-table")}
      {...(recounts.length === 0 ? { note: say("office.recounts-none") } : {})}
      columns={columns}
      empty={recounts.length === 0}
    >
      {recounts.map(row)}
    </Table>
  );
}
