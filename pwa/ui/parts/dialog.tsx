// A sheet over the page: choices, or a form. Escape and the first button close
// it. What a screen says went wrong (Told) is said on the sheet, for the page
// behind it can not be read.
import { type ComponentChildren, createContext, type JSX } from "preact";
import { useContext, useEffect, useLayoutEffect, useRef } from "preact/hooks";
import { say } from "./say";

/** What went wrong on the screen that a sheet belongs to; "" for nothing. */
export const Told = createContext("");

/** How long after a sheet closed the touch that closed it may still chatter on what lay beneath. */
const chatterMs = 120;
let closedMs = -Infinity;

/** Whether a touch of a time is, or may be, of the hand that closed a sheet. */
export const justClosed = (atMs: number): boolean => atMs - closedMs < chatterMs;

/** Shows children in a modal sheet until onClose. */
export function Dialog({ title, onClose, children }: { title: string; onClose: () => void; children: ComponentChildren }): JSX.Element {
  const dialog = useRef<HTMLDialogElement>(null);
  const told = useContext(Told);
  useEffect(() => {
    dialog.current?.showModal();
  }, []);
  useLayoutEffect(
    () => () => {
      closedMs = performance.now(); // at once: other ends wait for the next frame, and a touch does not
    },
    [],
  );
  return (
    <dialog ref={dialog} class="sheet" aria-label={title} onClose={onClose}>
      <header>
        <h2>{title}</h2>
        <button type="button" class="do" onClick={() => dialog.current?.close()}>
          {say("page.close")}
        </button>
      </header>
      <div class="inside">
        {told ? (
          <p class="wrong" role="alert">
            {told}
          </p>
        ) : null}
        {children}
      </div>
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

/** A whole number of at most seven digits, or null for anything else. Groups of three may stand apart. */
export function wholeNumber(text: string): number | null {
  const trimmed = text.trim();
  if (/^\d{1,3}([ .,’'\u00a0\u202f]\d{3})+$/.test(trimmed)) return Number(trimmed.replace(/\D/g, ""));
  return /^\d{1,7}$/.test(trimmed) ? Number(trimmed) : null;
}

interface NumberProps {
  label: string;
  error: string;
  value: string;
  words?: boolean; // not digits alone: words, or a time with its colon
  onInput: (text: string) => void;
}

/** One number to type, with its error beside it. */
export function NumberField({ label, error, value, words = false, onInput }: NumberProps): JSX.Element {
  return (
    <label class="field">
      <span>{label}</span>
      <input
        inputMode={words ? "text" : "numeric"}
        autoComplete="off"
        value={value}
        aria-invalid={error !== ""}
        onInput={(e) => onInput(e.currentTarget.value)}
      />
      {error ? <span class="wrong">{error}</span> : null}
    </label>
  );
}
