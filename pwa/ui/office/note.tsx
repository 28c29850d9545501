// A note for the session's sheet.
import type { JSX } from "preact";
import type { Room } from "../parts/room";
import { say } from "../parts/say";
import { Card } from "./card";
import { Field } from "./field";
import { tell, useForm } from "./form";

const owners = { note: "text", text: "text", "text-length": "text", "text-control": "text" } as const;

export function NoteCard({ room }: { room: Room }): JSX.Element {
  const form = useForm<"text">({ text: "" });
  const keep = async (): Promise<void> => {
    const done = await form.run(async () => {
      const text = form.values.text.trim();
      return text === "" ? { text: say("office.note-needed") } : tell<"text">(room, { kind: "note", text }, owners);
    });
    if (done) form.fill({ text: "" });
  };
  return (
    <Card
      title={say("office.note")}
      kept={form.kept}
      keep={say("office.note-keep")}
      busy={form.busy}
      error={form.errors.form}
      onKeep={() => void keep()}
    >
      <Field
        label={say("office.note-text")}
        hint={say("office.note-hint")}
        lines={3}
        most={500}
        value={form.values.text}
        error={form.errors.text}
        onInput={form.type("text")}
      />
    </Card>
  );
}
