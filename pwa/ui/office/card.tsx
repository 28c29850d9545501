// A card of the office: a title, fields, and one thing to do.
import type { ComponentChildren, JSX } from "preact";
import { useEffect, useRef } from "preact/hooks";
import { say } from "../parts/say";
import { Wrong } from "./field";

interface CardProps {
  title: string;
  keep: string; // the word on the button
  kept: boolean;
  busy: boolean;
  error: string | undefined;
  onKeep: () => void;
  onLeave?: () => void; // a form that can be closed
  children: ComponentChildren;
}

export function Card({ title, children, ...rest }: CardProps): JSX.Element {
  return (
    <section class="o-card">
      <h2>{title}</h2>
      <KeepForm {...rest}>{children}</KeepForm>
    </section>
  );
}

/** Fields and the button that keeps them. What was refused gets the focus. */
export function KeepForm({ keep, kept, busy, error, onKeep, onLeave, children }: Omit<CardProps, "title">): JSX.Element {
  const form = useRef<HTMLFormElement>(null);
  useEffect(() => {
    if (!busy) form.current?.querySelector<HTMLElement>('[aria-invalid="true"]')?.focus();
  }, [busy]);
  return (
    <form
      ref={form}
      class="o-form"
      onSubmit={(e) => {
        e.preventDefault();
        onKeep();
      }}
    >
      {children}
      {error && <Wrong>{error}</Wrong>}
      <p class="o-acts">
        <button type="submit" class="do first" disabled={busy}>
          {keep}
        </button>
        {onLeave && (
          <button type="button" class="do" onClick={onLeave}>
            {say("office.leave-it")}
          </button>
        )}
        <span class="o-kept" role="status">
          {kept ? say("office.kept") : ""}
        </span>
      </p>
    </form>
  );
}
