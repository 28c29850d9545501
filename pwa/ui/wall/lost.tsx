// The band across a wall that lost its room.
import type { JSX } from "preact";
import { say } from "../parts/say";
import { Fit } from "./fit";
import { Said } from "./said";

/** Says as of when the figures were true; asOf is empty when none ever came. That it goes on trying leaves first, then why. */
export function Lost({ asOf }: { asOf: string }): JSX.Element {
  const words = (lines: 0 | 1 | 2) => (): JSX.Element => (
    <>
      <p class="w-large">{asOf === "" ? say("wall.unheard") : <Said of="wall.as-of" with={{ time: asOf }} />}</p>
      {lines > 0 && <p>{say(asOf === "" ? "wall.unheard-why" : "wall.lost")}</p>}
      {lines > 1 && <p>{say("wall.tries")}</p>}
    </>
  );
  return (
    <section class="w-asof" role="status">
      <Fit className="w-tells" of={asOf} choices={[words(2), words(1), words(0)]} />
    </section>
  );
}
