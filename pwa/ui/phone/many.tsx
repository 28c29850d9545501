// Many at once: a row for each thing that a station counts, five, ten and
// twenty-five of it in one touch, or a number by large keys.
import "./rare-words";
import type { ComponentChildren, JSX } from "preact";
import { useState } from "preact/hooks";
import type { Identity, View } from "../../bridge/protocol.gen";
import { useBusy } from "../parts/busy";
import { Dialog } from "../parts/dialog";
import { count, say } from "../parts/say";
import { Glyph } from "../parts/strokes";
import { Keys } from "./keys";
import { LateBox } from "./late";

/** What can be counted many of. */
export interface Thing {
  id: string;
  name: string;
  mark: JSX.Element;
  steps?: readonly number[]; // instead of the usual ones
  less?: boolean; // it takes away: no plus before the number
}

const usual = [5, 10, 25] as const;

interface ManyProps {
  view: View;
  things: readonly Thing[];
  stocks: readonly Identity[]; // that the counts change
  onMany: (id: string, n: number, late: boolean) => Promise<boolean>;
  onClose: () => void;
  before?: ComponentChildren; // above the rows
  children?: ComponentChildren; // below them
}

/** The rows, or the keys for a number of one of them. */
export function Many({ view, things, stocks, onMany, onClose, before, children }: ManyProps): JSX.Element {
  const [late, setLate] = useState(false);
  const [asked, setAsked] = useState<Thing | null>(null);
  const [busy, run] = useBusy();
  const add = (of: Thing, n: number): void => run(() => onMany(of.id, n, late).then((ok) => ok && onClose()));
  if (asked) {
    return (
      <>
        <Keys question={say("many.question", { what: asked.name })} busy={busy} least={1} onNumber={(n) => add(asked, n)} />
        <button type="button" class="do" onClick={() => setAsked(null)}>
          {say("many.back")}
        </button>
      </>
    );
  }
  return (
    <>
      {before}
      <LateBox view={view} stocks={stocks} late={late} onLate={setLate} />
      <ul class="many">
        {things.map((t) => (
          <li key={t.id}>
            <span class="what">
              {t.mark}
              <span>{t.name}</span>
            </span>
            {(t.steps ?? usual).map((n) => (
              <button
                type="button"
                class="do"
                key={n}
                disabled={busy}
                aria-label={say(t.less ? "many.less" : "many.add", { n, what: t.name })}
                onClick={() => add(t, n)}
              >
                {t.less ? count(n) : `+${count(n)}`}
              </button>
            ))}
            <button type="button" class="do" disabled={busy} aria-label={say("many.number", { what: t.name })} onClick={() => setAsked(t)}>
              <Glyph of="digits" />
            </button>
          </li>
        ))}
      </ul>
      {children}
    </>
  );
}

/** A sheet of them. */
export function ManySheet({ title, ...many }: ManyProps & { title: string }): JSX.Element {
  return (
    <Dialog title={title} onClose={many.onClose}>
      <Many {...many} />
    </Dialog>
  );
}
