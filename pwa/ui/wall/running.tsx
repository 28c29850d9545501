// The wall while a session runs, and after: what stops first, where the grafts
// are, the zones, and what asks for somebody.
import type { JSX } from "preact";
import type { View } from "../../bridge/protocol.gen";
import { Foot } from "./foot";
import { Picture } from "./picture";
import type { Sheet } from "./sheet";
import { StopRule } from "./stop-rule";
import { ZonePanel } from "./zones";

/** code is the one with which phones join again, "" when none has to. */
export function Running({ view, code, sheet }: { view: View; code: string; sheet: Sheet }): JSX.Element {
  return (
    <>
      {sheet.stop ? <StopRule view={view} bar={sheet.bar} /> : null}
      {sheet.picture ? <Picture view={view} /> : null}
      {sheet.zones > 0 ? <ZonePanel view={view} high={sheet.zones} alone={!sheet.picture} /> : null}
      <Foot view={view} code={code} />
    </>
  );
}
