// A sheet over the page: choices, or a form. Escape and the first button close it.
import type { ComponentChildren, JSX } from "preact";
import { useEffect, useRef } from "preact/hooks";
import { say } from "./say";

/** Shows children in a modal sheet until onClose. */
export function Dialog({ title, onClose, children }: { title: string; onClose: () => void; children: ComponentChildren }): JSX.Element {
  const dialog = useRef<HTMLDialogElement>(null);
  useEffect(() => {
    dialog.current?.showModal();
  }, []);
  return (
    <dialog ref={dialog} class="sheet" aria-label={title} onClose={onClose}>
      <header>
        <h2>{title}</h2>
        <button type="button" class="do" onClick={() => dialog.current?.close()}>
          {say("page.close")}
        </button>
      </header>
      <div class="inside">{children}</div>
    </dialog>
  );
}

/** One choice among several. */
export interface Choice<T> {
  value: T;
  label: string;
  note?: string;
}

/** A sheet of choices. */
export function Choices<T>({
  title,
  of,
  chosen,
  onChoose,
  onClose,
}: {
  title: string;
  of: readonly Choice<T>[];
  chosen: T;
  onChoose: (value: T) => void;
  onClose: () => void;
}): JSX.Element {
  return (
    <Dialog title={title} onClose={onClose}>
      <ul class="choices">
        {of.map((one) => (
          <li key={String(one.value)}>
            <button
              type="button"
              aria-pressed={one.value === chosen}
              onClick={() => {
                onChoose(one.value);
                onClose();
              }}
            >
              <span>{one.label}</span>
              {one.note ? <span class="quiet">{one.note}</span> : null}
            </button>
          </li>
        ))}
      </ul>
    </Dialog>
  );
}

/** A whole number, or null for anything else. Digits may be grouped. */
export function wholeNumber(text: string): number | null {
  const digits = text.replace(/[\s,.']/g, "");
  return /^\d{1,7}$/.test(digits) ? Number(digits) : null;
}

interface NumberProps {
  label: string;
  error: string;
  value: string;
  onInput: (text: string) => void;
}

/** One number to type, with its error beside it. */
export function NumberField({ label, error, value, onInput }: NumberProps): JSX.Element {
  return (
    <label class="field">
      <span>{label}</span>
      <input
        inputMode="numeric"
        autoComplete="off"
        value={value}
        aria-invalid={error !== ""}
        onInput={(e) => onInput(e.currentTarget.value)}
      />
      {error ? <span class="wrong">{error}</span> : null}
    </label>
  );
}
