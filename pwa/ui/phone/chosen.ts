// What a station counts right now (region, pass, zone), remembered on this
// phone for the session.
import { useState } from "preact/hooks";
import type { Ref, View } from "../../bridge/protocol.gen";

/** The chosen one of refs; the first when nothing was chosen, "" when there is none. */
export function useChosen(view: View, what: string, refs: readonly Ref[]): [Ref, (ref: Ref) => void] {
  const key = `chosen.${view.session.case}.${view.session.openedMs}.${what}`;
  const [chosen, set] = useState<Ref>(() => localStorage.getItem(key) ?? "");
  const choose = (ref: Ref): void => {
    localStorage.setItem(key, ref);
    set(ref);
  };
  return [refs.includes(chosen) ? chosen : (refs[0] ?? ""), choose];
}
