// The floor: how many hairs should stand in every donor region.
import type { JSX } from "preact";
import type { View } from "../../bridge/protocol.gen";
import type { Room } from "../parts/room";
import { say } from "../parts/say";
import { decimalsOf, readDecimal, writeDecimal } from "../parts/units";
import { Card } from "./card";
import { Field } from "./field";
import { tell, useForm } from "./form";
import { conflictOf, NotChosen } from "./not-chosen";

const owners = { floor: "hairs" } as const;
const ranges = { hairs: "office.range-floor" } as const;

export function FloorCard({ room, view }: { room: Room; view: View }): JSX.Element {
  const form = useForm<"hairs">({ hairs: writeDecimal(view.ledger.floorHairs10, decimalsOf.floor) });
  const keep = (): void => {
    void form.run(async () => {
      const hairsPerCm2x10 = readDecimal(form.values.hairs, decimalsOf.floor);
      if (hairsPerCm2x10 === null) return { hairs: say("office.decimal-needed", { n: decimalsOf.floor }) };
      return tell<"hairs">(room, { kind: "floor", hairsPerCm2x10 }, owners, ranges);
    });
  };
  return (
    <Card
      title={say("office.floor")}
      kept={form.kept}
      onKeep={keep}
      keep={say("office.set-floor")}
      busy={form.busy}
      error={form.errors.form}
    >
      <NotChosen of={conflictOf(view, "floor")} />
      <Field
        label={say("office.floor-hairs")}
        hint={say("office.floor-hint")}
        numeric
        unit={say("office.per-cm2")}
        value={form.values.hairs}
        error={form.errors.hairs}
        onInput={form.type("hairs")}
      />
    </Card>
  );
}
