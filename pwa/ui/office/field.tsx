// Fields of the office: a label, what is typed, and its own error beside it.
import type { ComponentChildren, JSX } from "preact";
import { useId } from "preact/hooks";
import { Glyph } from "../parts/strokes";

interface Common {
  label: string;
  error?: string | undefined;
  hint?: string | undefined;
}

interface FieldProps extends Common {
  value: string;
  onInput: (value: string) => void;
  unit?: string;
  numeric?: boolean; // a number: the digits keyboard, and a short box
  most?: number; // characters
  lines?: number;
}

/** One line, or several, of text. What is typed stays, whatever is wrong with it. */
export function Field({ label, value, onInput, unit, error, hint, numeric = false, most, lines }: FieldProps): JSX.Element {
  const id = useId();
  const shared = {
    id,
    value,
    autocomplete: "off" as const,
    "aria-invalid": Boolean(error),
    "aria-describedby": [hint ? `${id}-hint` : "", error ? `${id}-error` : ""].filter(Boolean).join(" "),
    ...(most === undefined ? {} : { maxLength: most }),
  };
  return (
    <div class={numeric ? "o-field o-short" : "o-field"}>
      <label for={id}>{label}</label>
      <span class="o-box">
        {lines === undefined ? (
          <input {...shared} inputMode={numeric ? "decimal" : "text"} spellcheck={false} onInput={(e) => onInput(e.currentTarget.value)} />
        ) : (
          <textarea {...shared} rows={lines} onInput={(e) => onInput(e.currentTarget.value)} />
        )}
        {unit && <span class="quiet">{unit}</span>}
      </span>
      {hint && (
        <p class="quiet" id={`${id}-hint`}>
          {hint}
        </p>
      )}
      {error && <Wrong id={`${id}-error`}>{error}</Wrong>}
    </div>
  );
}

/** Something is wrong with a field, or with what was asked for. */
export function Wrong({ id, children }: { id?: string; children: ComponentChildren }): JSX.Element {
  return (
    <p class="o-wrong" role="alert" {...(id ? { id } : {})}>
      <Glyph of="ask" />
      <span>{children}</span>
    </p>
  );
}

/** A box to tick. */
export function Tick({ label, on, onChange, hint }: Common & { on: boolean; onChange: (on: boolean) => void }): JSX.Element {
  return (
    <label class="o-tick">
      <input type="checkbox" checked={on} onChange={(e) => onChange(e.currentTarget.checked)} />
      <span>
        {label}
        {hint && <span class="quiet"> {hint}</span>}
      </span>
    </label>
  );
}

/** Fields that belong together. */
export function Group({ label, error, hint, children }: Common & { children: ComponentChildren }): JSX.Element {
  const id = useId();
  return (
    <fieldset class="o-group" aria-describedby={error ? id : undefined}>
      <legend>{label}</legend>
      <div>{children}</div>
      {hint && <p class="quiet">{hint}</p>}
      {error && <Wrong id={id}>{error}</Wrong>}
    </fieldset>
  );
}
