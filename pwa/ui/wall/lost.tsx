// The band across a wall that lost its room.
import type { JSX } from "preact";
import { say } from "../parts/say";
import { Said } from "./said";

/** Says as of when the figures were true; asOf is empty when none ever came. */
export function Lost({ asOf }: { asOf: string }): JSX.Element {
  return (
    <section class="w-asof" role="status">
      <p class="w-large">{asOf === "" ? say("wall.unheard") : <Said of="wall.as-of" with={{ time: asOf }} />}</p>
      <p>{say(asOf === "" ? "wall.unheard-why" : "wall.lost")}</p>
      <p>{say("wall.tries")}</p>
    </section>
  );
}
