// The wall while a session runs, and after: what stops first, where the grafts
// are, the zones, and what asks for somebody.
import type { JSX } from "preact";
import type { View } from "../../bridge/protocol.gen";
import { Foot } from "./foot";
import { Picture } from "./picture";
import { StopRule } from "./stop-rule";
import { ZonePanel } from "./zones";

/** code is the one with which phones join again, "" when none has to. */
export function Running({ view, code }: { view: View; code: string }): JSX.Element {
  return (
    <>
      <StopRule view={view} />
      <Picture view={view} />
      <ZonePanel view={view} />
      <Foot view={view} code={code} />
    </>
  );
}
