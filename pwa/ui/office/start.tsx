// Starting a session: a case code, a room, and which stations count.
import type { JSX } from "preact";
import { useRef } from "preact/hooks";
import type { Station } from "../../bridge/protocol.gen";
import type { Room } from "../parts/room";
import { say, sayFault, type Under } from "../parts/say";
import { createSession, newSession, wordsOf } from "./api";
import { Field, Group, Tick, Wrong } from "./field";
import { errorsOf, useForm } from "./form";
import { enter } from "./today";

const counting: readonly Station[] = ["extraction", "sorting", "sites", "placing"];
const owners = { "case-code": "case", "room-name": "room", "stations-none": "stations" } as const;

type Name = "case" | "room" | "stations";
type Errors = Partial<Record<Name | "form", string>>;

const label = /^[A-Za-z0-9][A-Za-z0-9.-]{0,15}$/; // as the engine has it

/** What is wrong with the labels, before anything is asked of the server. */
export function checkLabels(values: Record<Name, string>): Errors | null {
  const wrong: Errors = {};
  const max = { max: "16" };
  if (!label.test(values.case.trim())) wrong.case = sayFault({ code: "case-code", args: max });
  if (!label.test(values.room.trim())) wrong.room = sayFault({ code: "room-name", args: max });
  if (values.stations === "") wrong.stations = sayFault({ code: "stations-none", args: {} });
  return Object.keys(wrong).length > 0 ? wrong : null;
}

/** Opens the session that this page has joined. */
async function open(room: Room, values: Record<Name, string>): Promise<Errors | null> {
  const stations = counting.filter((s) => values.stations.split(" ").includes(s));
  const { fault } = await room.tap({ kind: "opened", case: values.case.trim(), room: values.room.trim(), stations });
  return fault ? errorsOf<Name>(fault, owners) : null;
}

interface StartProps {
  room: Room;
  token: string;
  person: string;
  named: () => boolean;
  again: () => void;
  onOpen: () => void;
}

export function Start({ room, token, person, named, again, onOpen }: StartProps): JSX.Element {
  const form = useForm<Name>({ case: "", room: "1", stations: counting.join(" ") });
  const made = useRef({ session: "", room: "" }); // a second try goes on with the same
  const start = async (): Promise<Errors | null> => {
    const wrong = checkLabels(form.values);
    if (!named()) return { ...wrong, form: say("office.person-needed") };
    if (wrong) return wrong;
    const name = form.values.room.trim();
    if (made.current.room !== name) made.current = { session: newSession(), room: name };
    const { session } = made.current;
    try {
      await createSession(token, session, name, false);
    } catch (error) {
      return { form: wordsOf(error) };
    }
    const why = await enter(room, token, session, person);
    if (why !== null) return { form: why };
    return open(room, form.values);
  };
  const submit = async (): Promise<void> => {
    const done = await form.run(start);
    again();
    if (!done) return;
    made.current = { session: "", room: "" };
    form.fill({ ...form.values, case: "" });
    onOpen();
  };
  return (
    <form
      class="o-card"
      onSubmit={(e) => {
        e.preventDefault();
        void submit();
      }}
    >
      <h2>{say("office.start")}</h2>
      <div class="o-row">
        <Field
          label={say("office.case-code")}
          hint={say("office.case-hint")}
          value={form.values.case}
          most={16}
          error={form.errors.case}
          onInput={form.type("case")}
        />
        <Field label={say("office.room")} value={form.values.room} most={16} error={form.errors.room} onInput={form.type("room")} />
      </div>
      <Stations value={form.values.stations} error={form.errors.stations} onInput={form.type("stations")} />
      {form.errors.form && <Wrong>{form.errors.form}</Wrong>}
      <button type="submit" class="do first" disabled={form.busy}>
        {say("office.start-do")}
      </button>
    </form>
  );
}

/** The stations that count today, as their names with spaces between. */
function Stations({ value, error, onInput }: { value: string; error: string | undefined; onInput: (value: string) => void }): JSX.Element {
  const on = value.split(" ");
  return (
    <Group label={say("office.counts-today")} hint={say("office.desk-too")} error={error}>
      {counting.map((s) => (
        <Tick
          key={s}
          label={say(`station.${s}` as Under<"station.">)}
          on={on.includes(s)}
          onChange={(tick) => onInput(counting.filter((c) => (c === s ? tick : on.includes(c))).join(" "))}
        />
      ))}
    </Group>
  );
}

/** A session that was made but never opened: opens it with what is missing. */
export function OpenIt({ room, name }: { room: Room; name: string }): JSX.Element {
  const form = useForm<Name>({ case: "", room: name, stations: counting.join(" ") });
  const submit = async (): Promise<void> => {
    await form.run(async () => checkLabels(form.values) ?? (await open(room, form.values)));
  };
  return (
    <form
      class="o-card"
      onSubmit={(e) => {
        e.preventDefault();
        void submit();
      }}
    >
      <h2>{say("office.open-it")}</h2>
      <p>{say("office.open-it-why")}</p>
      <Field
        label={say("office.case-code")}
        hint={say("office.case-hint")}
        value={form.values.case}
        most={16}
        error={form.errors.case}
        onInput={form.type("case")}
      />
      <Stations value={form.values.stations} error={form.errors.stations} onInput={form.type("stations")} />
      {(form.errors.form ?? form.errors.room) && <Wrong>{form.errors.form ?? form.errors.room}</Wrong>}
      <button type="submit" class="do first" disabled={form.busy}>
        {say("office.open-it-do")}
      </button>
    </form>
  );
}
