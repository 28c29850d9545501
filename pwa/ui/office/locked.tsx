// The office without its link: how to get it.
import type { JSX } from "preact";
import { say } from "../parts/say";
import { Mark } from "../parts/strokes";
import { Wrong } from "./field";

export function Locked({ why }: { why: string }): JSX.Element {
  return (
    <main class="o-locked">
      <Mark />
      <h1>{say("office.locked")}</h1>
      {why !== "" && <Wrong>{why}</Wrong>}
      <p>{say("office.locked-how")}</p>
      <p>
        <code dir="ltr">
          {location.origin}/office#<span class="quiet">{say("office.locked-token")}</span>
        </code>
      </p>
      <p class="quiet">{say("office.locked-lasts")}</p>
      <p class="quiet">{say("care")}</p>
    </main>
  );
}
