// Tallies that should agree and do not.
import "../parts/lead-words";
import type { JSX } from "preact";
import type { Difference, View } from "../../bridge/protocol.gen";
import { clock, count, list, say, type Under } from "../parts/say";
import { liesThere } from "../parts/there";

export function Differences({ view }: { view: View }): JSX.Element {
  const sorted = [...view.differences].sort((a, b) => Number(b.open) - Number(a.open));
  return (
    <section class="o-card">
      <h2>{say("office.differences")}</h2>
      {sorted.length === 0 && <p class="quiet">{say("office.differences-none")}</p>}
      <ul class="o-list">
        {sorted.map((d) => (
          <li key={`${d.what} ${d.at} ${d.size}`}>
            <Row of={d} view={view} />
          </li>
        ))}
      </ul>
    </section>
  );
}

function Row({ of: d, view }: { of: Difference; view: View }): JSX.Element {
  const zone = view.zones.find((z) => z.ref === d.at)?.name ?? view.dishes.find((one) => one.ref === d.at)?.label ?? "";
  const pass = view.passes.find((p) => p.ref === d.at);
  const place = [
    zone,
    pass ? say("office.pass-of", { time: clock(pass.begunMs) }) : "",
    d.size > 0 ? say(`office.hairs-${d.size}` as Under<"office.hairs-">) : "",
    say("office.since", { time: clock(d.sinceMs) }),
  ];
  return (
    <div class="o-entry">
      <p>
        {say(`difference.${d.what}` as Under<"difference.">)} <span class="quiet">{list(place.filter((s) => s !== ""))}</span>
      </p>
      <p class="o-total">
        <b>
          <bdi dir="ltr">{count(d.amount)}</bdi>
        </b>
      </p>
      <Found of={d} />
      {!d.open && <p class="quiet">{say("office.waits", { n: d.waitingFor })}</p>}
    </div>
  );
}

/** How it was counted again, and what is to be done next. */
function Found({ of: d }: { of: Difference }): JSX.Element {
  const next = !d.open
    ? ""
    : liesThere(d)
      ? say("settle.there")
      : d.recountFirst
        ? say("office.recount-first")
        : d.settle !== 0
          ? say("office.settle-left", { n: d.settle })
          : say(`differenceDo.${d.what}` as Under<"differenceDo.">);
  return (
    <>
      {d.recounted && (
        <p class="o-found">
          {say("office.recounted", {
            n: d.counted,
            ledger: d.ledger,
            time: clock(d.countedMs),
            person: d.countedBy || say("office.nobody"),
          })}
        </p>
      )}
      {next !== "" && <p class={d.recountFirst ? "o-found o-asks" : "o-found quiet"}>{next}</p>}
    </>
  );
}
