// What every wall has: its sheet, the headline, the clock, and the mark of a
// practice session.
import type { ComponentChildren, JSX } from "preact";
import { useNow } from "../parts/now";

import { clock, type Key, say } from "../parts/say";
import { Fit } from "./fit";
import { Said } from "./said";

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
  children: ComponentChildren;
}

/** The sheet that everything stands on. */
export function Frame({ practice, lost, children }: Framed): JSX.Element {
  const { x, y } = shift(useNow(10_000));
  return (
    <main class={`wall${lost ? " w-lost" : ""}`} style={`--shift-x:${x};--shift-y:${y}`}>
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

/** The headline, and beside it the clock and the case. The case leaves first, then the mark of practice gets smaller. */
export function Head({ head, with: figures = {}, label, practice }: Top): JSX.Element {
  const time = clock(useNow());
  const row = (labelled: boolean, size: "" | " w-small" | " w-small w-tight") => (): JSX.Element => (
    <>
      <h1>
        <Said of={head} with={figures} />
      </h1>
      <p class={`w-stamp${size}`}>
        {practice ? <b class="w-practised">{say("wall.practice")}</b> : <b>{time}</b>}
        {labelled && label !== "" && <span class="quiet">{label}</span>}
      </p>
    </>
  );
  return (
    <Fit
      className="w-top"
      of={`${say(head, figures)} ${label} ${practice}`}
      choices={[row(true, ""), row(true, " w-small"), row(false, ""), row(false, " w-small"), row(false, " w-small w-tight")]}
    />
  );
}
