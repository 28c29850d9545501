// Entries of a plan: each can be changed in place, and one can be added.
import type { JSX, RefObject } from "preact";
import { useEffect, useRef } from "preact/hooks";
import type { Ref } from "../../bridge/protocol.gen";
import { say } from "../parts/say";

interface PlanListProps<T> {
  title: string;
  none: string; // what an empty list says
  add: string;
  of: readonly T[];
  open: Ref | "new" | null; // the entry whose form is open
  onOpen: (what: Ref | "new" | null) => void;
  form: (entry: T | null) => JSX.Element;
  children: (entry: T) => JSX.Element;
}

export function PlanList<T extends { ref: Ref; name: string }>({
  title,
  none,
  add,
  of,
  open,
  onOpen,
  form,
  children,
}: PlanListProps<T>): JSX.Element {
  const card = useFocus(open);
  return (
    <section ref={card} class="o-card">
      <h2>{title}</h2>
      {of.length === 0 && <p class="quiet">{none}</p>}
      <ul class="o-list">
        {of.map((entry) => (
          <li key={entry.ref}>
            {open === entry.ref ? (
              form(entry)
            ) : (
              <div class="o-entry">
                {children(entry)}
                <button
                  type="button"
                  class="o-link"
                  data-opens={entry.ref}
                  aria-label={say("office.change-what", { what: entry.name })}
                  onClick={() => onOpen(entry.ref)}
                >
                  {say("office.change")}
                </button>
              </div>
            )}
          </li>
        ))}
      </ul>
      {open === "new" ? (
        form(null)
      ) : (
        <button type="button" class="do" data-opens="new" onClick={() => onOpen("new")}>
          {add}
        </button>
      )}
    </section>
  );
}

/** The first field has the focus when a form opens, and what opened it when the form closes. */
function useFocus(open: Ref | "new" | null): RefObject<HTMLElement | null> {
  const card = useRef<HTMLElement>(null);
  const before = useRef<Ref | "new" | null>(null);
  useEffect(() => {
    if (open !== null) card.current?.querySelector<HTMLElement>("form input")?.focus();
    else if (before.current !== null) card.current?.querySelector<HTMLElement>(`[data-opens="${CSS.escape(before.current)}"]`)?.focus();
    before.current = open;
  }, [open]);
  return card;
}
