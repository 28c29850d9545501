// The limits of the time out of the body, how grafts are kept, and what is
// planned of placing.
import "../parts/lead-words";
import type { JSX } from "preact";
import type { View } from "../../bridge/protocol.gen";
import { fields, keepingOf, type Field as Name, owners, typedOf } from "../parts/keeping";
import type { Room } from "../parts/room";
import { say } from "../parts/say";
import { Card } from "./card";
import { Field } from "./field";
import { tell, useForm } from "./form";
import { conflictOf, NotChosen } from "./not-chosen";

export function KeepingCard({ room, view }: { room: Room; view: View }): JSX.Element {
  const form = useForm<Name>(typedOf(view));
  const keep = (): void => {
    void form.run(async () => {
      const read = keepingOf(form.values, view);
      return "wrong" in read ? read.wrong : tell<Name>(room, read.fact, owners);
    });
  };
  return (
    <Card title={say("out.title")} kept={form.kept} onKeep={keep} keep={say("out.set")} busy={form.busy} error={form.errors.form}>
      <NotChosen of={conflictOf(view, "keeping")} />
      <p class="quiet">{say("out.why")}</p>
      {fields.map((f) => (
        <Field
          key={f}
          label={say(`out.${f}`)}
          numeric={f === "rate"}
          value={form.values[f]}
          error={form.errors[f]}
          onInput={form.type(f)}
        />
      ))}
    </Card>
  );
}
