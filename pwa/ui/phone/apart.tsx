// What the tallies say beside what was counted.
import "./rare-words";
import type { JSX } from "preact";
import { count, say } from "../parts/say";
import { TwoRows } from "../parts/two-rows";

/** The tallies above the rule, the objects below it. */
export function Apart({ ledger, counted }: { ledger: number; counted: number }): JSX.Element {
  return (
    <div class="apart">
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
