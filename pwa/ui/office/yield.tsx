// The planned yield: usable grafts of attempts, until the day shows its own.
import type { JSX } from "preact";
import type { View } from "../../bridge/protocol.gen";
import type { Room } from "../parts/room";
import { say } from "../parts/say";
import { decimalsOf, readDecimal, writeDecimal } from "../parts/units";
import { Card } from "./card";
import { Field } from "./field";
import { tell, useForm } from "./form";
import { conflictOf, NotChosen } from "./not-chosen";

const owners = { yield: "percent" } as const;
const ranges = { percent: "office.range-percent" } as const;

export function YieldCard({ room, view }: { room: Room; view: View }): JSX.Element {
  const l = view.ledger;
  const form = useForm<"percent">({ percent: writeDecimal(l.plannedPerMille, decimalsOf.percent) });
  const keep = (): void => {
    void form.run(async () => {
      const perMille = readDecimal(form.values.percent, decimalsOf.percent);
      if (perMille === null) return { percent: say("office.decimal-needed", { n: decimalsOf.percent }) };
      return tell<"percent">(room, { kind: "yield", perMille }, owners, ranges);
    });
  };
  return (
    <Card
      title={say("office.yield")}
      kept={form.kept}
      onKeep={keep}
      keep={say("office.set-yield")}
      busy={form.busy}
      error={form.errors.form}
    >
      <NotChosen of={conflictOf(view, "yield")} />
      <Field
        label={say("office.yield-percent")}
        hint={say("office.yield-hint")}
        numeric
        unit="%"
        value={form.values.percent}
        error={form.errors.percent}
        onInput={form.type("percent")}
      />
    </Card>
  );
}
