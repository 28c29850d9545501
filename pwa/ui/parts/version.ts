// A new version of the app waits until no session runs on this page, or until a
// person asks for it. Whoever's script this is, its parts stay to be had: the
// server keeps those of versions before.
import { useEffect, useState } from "preact/hooks";
import { isRunning, whenAtRest } from "./runs";

const oftenMs = 10 * 60_000;

let waiting: ServiceWorker | null = null;
let asked = false;
const watchers = new Set<() => void>();

/** Has the version that waits take over; the page opens again by itself. */
export function takeVersion(): void {
  asked = true;
  waiting?.postMessage({ take: true });
}

/** Whether a new version waits. */
export function useVersion(): boolean {
  const [waits, set] = useState(waiting !== null);
  useEffect(() => {
    const told = (): void => set(waiting !== null);
    watchers.add(told);
    told();
    return () => void watchers.delete(told);
  }, []);
  return waits;
}

/** Nobody counts, types or reads a sheet here. */
const atRest = (): boolean => !isRunning() && !document.activeElement?.matches("input, textarea, select, dialog *");

/** Looks for new versions for as long as this page is open. */
export async function watchVersion(): Promise<void> {
  const { serviceWorker } = navigator;
  let begun = serviceWorker.controller !== null; // the first one of all changes nothing
  serviceWorker.addEventListener("controllerchange", () => {
    if (begun && (asked || atRest())) location.reload();
    begun = true;
  });
  const kept = await serviceWorker.ready;
  const look = (): void => {
    waiting = kept.waiting;
    if (waiting && atRest()) takeVersion();
    for (const w of watchers) w();
  };
  const ask = (): void => void kept.update().then(look, () => undefined); // away from the room there is none
  kept.addEventListener("updatefound", () => kept.installing?.addEventListener("statechange", look));
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && ask());
  setInterval(ask, oftenMs);
  whenAtRest(look);
  look();
}
