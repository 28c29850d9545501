// What every wall has: its sheet, the headline, the clock, and the mark of a
// practice session.
import type { ComponentChildren, JSX } from "preact";
import { useNow } from "../parts/now";

import { clock, type Key, say } from "../parts/say";
import { Fit } from "./fit";
import { Said } from "./said";
import { littleFrom } from "./sheet";

/** The wall moves by two units a minute along rows of a 5 × 5 square, so that nothing burns in. */
function shift(now: number): { x: number; y: number } {
  const step = Math.floor(now / 60_000) % 25;
  const row = Math.floor(step / 5);
  const along = row % 2 === 0 ? step % 5 : 4 - (step % 5);
  return { x: 2 * (along - 2), y: 2 * (row - 2) };
}

interface Framed {
  practice: boolean;
  lost: boolean;
  times: number; // as large as usual
  children: ComponentChildren;
}

/** The sheet that everything stands on. */
export function Frame({ practice, lost, times, children }: Framed): JSX.Element {
  const { x, y } = shift(useNow(10_000));
  return (
    <main
      class={`wall${lost ? " w-lost" : ""}${times > littleFrom ? " w-small-sheet" : ""}`}
      style={`--shift-x:${x};--shift-y:${y};--times:${times}`}
    >
      {practice && (
        <p class="w-over" aria-hidden="true">
          <span>{say("wall.practice")}</span>
        </p>
      )}
      {children}
    </main>
  );
}

interface Top {
  head: Key;
  with?: Readonly<Record<string, string>>;
  label: string; // the case code, or the room
  practice: boolean;
}

type Form = "" | " w-small" | " w-small w-tight"; // of the stamp

/** The headline, and beside it the clock and the case. The case leaves first, then the mark of practice gets smaller, then the words beside the headline's figure, then the clock; a headline of words takes two lines then. */
export function Head({ head, with: figures = {}, label, practice }: Top): JSX.Element {
  const time = clock(useNow());
  const figured = Object.keys(figures).length > 0;
  const row =
    (labelled: boolean, form: Form | null, whole = true, lines: 1 | 2 = 1) =>
    (): JSX.Element => (
      <>
        <h1 class={whole ? "" : figured ? "w-figure" : lines === 1 ? "w-words" : "w-words w-lines-two"}>
          <Said of={head} with={figures} />
        </h1>
        {form === null ? null : (
          <p class={`w-stamp${form}`}>
            {practice ? <b class="w-practised">{say("wall.practice")}</b> : <b>{time}</b>}
            {labelled && label !== "" && <span class="quiet">{label}</span>}
          </p>
        )}
      </>
    );
  const forms = [row(true, ""), row(true, " w-small"), row(false, ""), row(false, " w-small"), row(false, " w-small w-tight")];
  const few = [
    row(true, " w-small", false),
    row(false, " w-small", false),
    row(false, " w-small w-tight", false),
    row(false, null, false),
    row(false, null, false, 2),
  ];
  return <Fit className="w-top" of={`${say(head, figures)} ${label} ${practice} ${time}`} choices={[...forms, ...few]} />;
}
