// What the tallies say beside what was counted.
import "./rare-words";
import type { JSX } from "preact";
import type { Room } from "../parts/room";
import { clock, count, say } from "../parts/say";
import { TwoRows } from "../parts/two-rows";

/** The tallies above the rule, the objects below it. */
export function Apart({ room, ledger, counted }: { room: Room; ledger: number; counted: number }): JSX.Element {
  const { truth } = room.shown;
  const heard = truth && !truth.up ? truth.heardMs : null;
  return (
    <div class="apart">
      {heard !== null ? <p class="warn">{heard > 0 ? say("recount.unheard", { time: clock(heard) }) : say("recount.never")}</p> : null}
      <p class="side">
        <span>{say("recount.ledger")}</span>
        <b>{count(ledger)}</b>
      </p>
      <TwoRows above={ledger} below={counted} />
      <p class="side">
        <span>{say("recount.counted")}</span>
        <b>{count(counted)}</b>
      </p>
    </div>
  );
}
