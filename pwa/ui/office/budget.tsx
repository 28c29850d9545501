// The budget beside what limits it: the need of all zones, and the donor. A
// budget above its limit is refused until there is a reason.
import type { JSX } from "preact";
import type { View } from "../../bridge/protocol.gen";
import { wholeNumber } from "../parts/dialog";
import type { Room } from "../parts/room";
import { count, type Key, say, type Under } from "../parts/say";
import { Card } from "./card";
import { Field } from "./field";
import { tell, useForm } from "./form";
import { conflictOf, NotChosen } from "./not-chosen";

type Name = "grafts" | "reason";

const owners = { budget: "grafts", reason: "reason", "text-length": "reason", "budget-above": "reason" } as const;
const ranges = { grafts: "office.range-grafts" } as const;

/** Which side limits the budget, and whether the other is known at all. */
function limitedBy({ ledger: l, zones, regions }: View): Key {
  const alone = l.budgetLimitedBy !== "unknown" && (zones.length === 0 || regions.length === 0);
  return `office.limited-${l.budgetLimitedBy}${alone ? "-only" : ""}` as Under<"office.limited-">;
}

export function BudgetCard({ room, view }: { room: Room; view: View }): JSX.Element {
  const { headline: h, ledger: l } = view;
  const form = useForm<Name>({ grafts: h.budgetKnown ? String(h.budget) : "", reason: "" });
  const keep = (): void => {
    void form.run(async () => {
      const typed = wholeNumber(form.values.grafts);
      if (typed === null) return { grafts: say("office.whole-needed") };
      const reason = form.values.reason.trim();
      return tell<Name>(room, { kind: "budget", grafts: typed, reason }, owners, ranges);
    });
  };
  return (
    <Card
      title={say("office.budget")}
      kept={form.kept}
      onKeep={keep}
      keep={say("office.set-budget")}
      busy={form.busy}
      error={form.errors.form}
    >
      <dl class="o-pairs">
        <dt>{say("office.need-total")}</dt>
        <dd>{view.zones.length > 0 ? count(l.needTotal) : say("office.need-unknown")}</dd>
        <dt>{say("office.donor-total")}</dt>
        <dd>{view.regions.length > 0 ? count(l.capacityGrafts) : say("office.donor-unknown")}</dd>
        {l.budgetLimitedBy !== "unknown" && (
          <>
            <dt>{say("office.budget-max")}</dt>
            <dd class="o-most">{count(l.budgetMax)}</dd>
          </>
        )}
        {l.shortfall > 0 && (
          <>
            <dt>{say("office.shortfall")}</dt>
            <dd>{count(l.shortfall)}</dd>
          </>
        )}
      </dl>
      <p class="quiet">{say(limitedBy(view))}</p>
      <NotChosen of={conflictOf(view, "budget")} />
      <Field
        label={say("office.grafts")}
        numeric
        unit={say("office.grafts-unit")}
        value={form.values.grafts}
        error={form.errors.grafts}
        onInput={form.type("grafts")}
      />
      {l.budgetAboveLimit && (
        <p class="o-warn">{say(l.budgetLimitedBy === "need" ? "office.above-need" : "office.above-donor", { n: l.budgetMax })}</p>
      )}
      {(form.errors.reason || form.values.reason !== "") && (
        <Field
          label={say("office.reason")}
          lines={2}
          most={500}
          value={form.values.reason}
          error={form.errors.reason}
          onInput={form.type("reason")}
        />
      )}
    </Card>
  );
}
