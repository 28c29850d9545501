// Beside a value of the plan: several stand, and the card above has them all.
import type { JSX } from "preact";
import type { Conflict, Kind, Ref, View } from "../../bridge/protocol.gen";
import { say } from "../parts/say";
import { Wrong } from "./field";

/** The conflict about a thing of the plan, if there is one. */
export const conflictOf = (view: View, kind: Kind, of: Ref = ""): Conflict | undefined =>
  view.conflicts.find((c) => c.kind === kind && c.of === of);

export function NotChosen({ of }: { of: Conflict | undefined }): JSX.Element | null {
  return of ? <Wrong>{say("office.not-chosen", { n: of.standing })}</Wrong> : null;
}
