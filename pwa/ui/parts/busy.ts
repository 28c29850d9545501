// One act at a time: a second press while something is being kept would count
// twice.
import { useRef, useState } from "preact/hooks";

/** Whether an act runs, and how to run one: while one runs no other begins. */
export function useBusy(): [boolean, (act: () => Promise<unknown>) => void] {
  const runs = useRef(false); // known at once, before the next drawing
  const [busy, setBusy] = useState(false);
  const run = (act: () => Promise<unknown>): void => {
    if (runs.current) return;
    runs.current = true;
    setBusy(true);
    void act().finally(() => {
      runs.current = false;
      setBusy(false);
    });
  };
  return [busy, run];
}
