// Putting a set-up together: its fields, its steps in order, and its picture as
// it is typed. Steps are added, moved and removed with buttons or keys.
import "../parts/punch-words";
import type { JSX } from "preact";
import { useEffect, useLayoutEffect, useRef, useState } from "preact/hooks";
import type { Setup } from "../../bridge/protocol.gen";
import type { Room } from "../parts/room";
import { say } from "../parts/say";
import { Drawing } from "../punch/drawing";
import { Refusal, wordsOf } from "./api";
import { KeepForm } from "./card";
import { Field, Wrong } from "./field";
import { factOf, type Saved, saveSetup } from "./setup-saved";
import { StepFields } from "./setup-step";
import { type Errors, errorsOf, type Line, newLine, read, type Typed, typedOf } from "./setup-typed";

/** The most steps that the engine takes. */
const mostSteps = 8;

/** What follows from what is typed, as soon as it can be drawn; nothing while it can not. */
function useDraft(room: Room, typed: Typed, id: number): Setup | null {
  const [draft, setDraft] = useState<Setup | null>(null);
  useEffect(() => {
    let over = false;
    const said = read({ ...typed, name: typed.name.trim() || "-" }, id); // it is drawn before it has a name
    if ("id" in said) void room.setup(factOf(said as Saved)).then((got) => !over && setDraft(got?.setup ?? null));
    else setDraft(null);
    return () => {
      over = true;
    };
  }, [JSON.stringify(typed)]);
  return draft;
}

interface EditorProps {
  room: Room;
  token: string;
  of: Saved | null; // null for a new one
  onLeave: () => void;
}

export function Editor({ room, token, of, onLeave }: EditorProps): JSX.Element {
  const [typed, setTyped] = useState(() => typedOf(of));
  const [errors, setErrors] = useState<Errors>({});
  const [busy, setBusy] = useState(false);
  const card = useRef<HTMLElement>(null);
  const draft = useDraft(room, typed, of?.id ?? 0);
  useEffect(() => card.current?.querySelector<HTMLElement>("input")?.focus(), []);
  const type = (field: keyof Omit<Typed, "lines">) => (value: string) => {
    setTyped((t) => ({ ...t, [field]: value }));
    setErrors((e) => ({ ...e, [field]: "", form: "" }));
  };
  const keep = async (): Promise<Errors> => {
    const said = read(typed, of?.id ?? 0);
    if (!("id" in said)) return said;
    const answer = await room.setup(factOf(said as Saved));
    if (answer?.fault) return errorsOf(answer.fault);
    try {
      await saveSetup(token, said as Saved);
      return {};
    } catch (error) {
      return error instanceof Refusal ? errorsOf({ code: error.code, args: error.args }, error.words) : { form: wordsOf(error) };
    }
  };
  const submit = async (): Promise<void> => {
    setBusy(true);
    const wrong = await keep();
    setErrors(wrong);
    setBusy(false);
    if (Object.keys(wrong).length === 0) onLeave();
  };
  return (
    <section ref={card} class="o-card setup-editor">
      <h2>{of ? say("punch.change-what", { what: of.name }) : say("punch.new")}</h2>
      <KeepForm keep={say("punch.keep")} kept={false} busy={busy} error={errors.form} onKeep={() => void submit()} onLeave={onLeave}>
        <div class="o-row">
          <Field label={say("punch.name")} most={24} value={typed.name} error={errors.name} onInput={type("name")} />
          <Field
            label={say("punch.diameter")}
            numeric
            unit="mm"
            value={typed.diameter}
            error={errors.diameter}
            onInput={type("diameter")}
          />
          <Field
            label={say("punch.edge")}
            most={16}
            hint={say("punch.edge-hint")}
            value={typed.edge}
            error={errors.edge}
            onInput={type("edge")}
          />
          <Field label={say("punch.wait-before")} numeric unit="ms" value={typed.wait} error={errors.wait} onInput={type("wait")} />
        </div>
        <Lines lines={typed.lines} errors={errors} onLines={(lines) => setTyped((t) => ({ ...t, lines }))} onErrors={setErrors} />
        {draft && (
          <div class="setup-preview">
            <h3>{say("punch.preview")}</h3>
            <Drawing room={room} of={draft} />
          </div>
        )}
      </KeepForm>
    </section>
  );
}

interface LinesProps {
  lines: readonly Line[];
  errors: Errors;
  onLines: (lines: Line[]) => void;
  onErrors: (errors: Errors) => void;
}

/** The steps. Errors are told by place, so they go when places change. */
function Lines({ lines, errors, onLines, onErrors }: LinesProps): JSX.Element {
  const [told, setTold] = useState("");
  const focus = useRef<number | null>(null); // the step that is to have it next
  const list = useRef<HTMLOListElement>(null);
  useLayoutEffect(() => {
    if (focus.current !== null) list.current?.querySelector<HTMLElement>(`[data-step="${focus.current}"] select`)?.focus();
    focus.current = null;
  });
  const change = (next: Line[], said: string, to: number | undefined): void => {
    onLines(next);
    onErrors({});
    setTold(said);
    focus.current = to ?? null;
  };
  const move = (from: number, to: number): void => {
    const line = lines[from];
    if (!line || to < 0 || to >= lines.length) return;
    const next = lines.filter((l) => l !== line);
    next.splice(to, 0, line);
    change(next, say("punch.moved", { from: from + 1, to: to + 1 }), line.key);
  };
  const remove = (at: number): void => {
    const next = lines.filter((_, i) => i !== at);
    change(next, say("punch.removed", { n: at + 1 }), (next[at] ?? next[at - 1])?.key);
  };
  const add = (): void => {
    const line = newLine();
    change([...lines, line], say("punch.added", { n: lines.length + 1 }), line.key);
  };
  return (
    <>
      <ol ref={list} class="setup-lines" aria-label={say("punch.steps")}>
        {lines.map((line, i) => (
          <StepFields
            key={line.key}
            of={line}
            at={i}
            last={lines.length - 1}
            errors={errors}
            onChange={(to) => {
              onLines(lines.map((l) => (l === line ? to : l)));
              onErrors(Object.fromEntries(Object.entries(errors).filter(([field]) => !field.startsWith(`${i}.`))));
            }}
            onMove={(to) => move(i, to)}
            onRemove={() => remove(i)}
          />
        ))}
      </ol>
      {errors.steps && <Wrong>{errors.steps}</Wrong>}
      <p class="o-acts">
        <button type="button" class="do" disabled={lines.length >= mostSteps} onClick={add}>
          {say("punch.add-step")}
        </button>
        <span class="quiet">{say("punch.keys")}</span>
      </p>
      <p class="off" role="status">
        {told}
      </p>
    </>
  );
}
