// What a station counts right now (region, pass, zone), remembered on this
// phone for the session.
import { useState } from "preact/hooks";
import type { Ref, View } from "../../bridge/protocol.gen";

/** The chosen one of refs; the first when nothing was chosen, "" when there is none. */
export function useChosen(view: View, what: string, refs: readonly Ref[]): [Ref, (ref: Ref) => void] {
  const key = `chosen.${view.session.case}.${view.session.openedMs}.${what}`;
  const [chosen, set] = useState<Ref>(() => read(key));
  const choose = (ref: Ref): void => {
    write(key, ref);
    set(ref);
  };
  return [refs.includes(chosen) ? chosen : (refs[0] ?? ""), choose];
}

function read(key: string): Ref {
  try {
    return localStorage.getItem(key) ?? "";
  } catch {
    return ""; // no storage: chosen for as long as the page is open
  }
}

function write(key: string, ref: Ref): void {
  try {
    localStorage.setItem(key, ref);
  } catch {
    // as above
  }
}
