// A new version of the app waits until no session runs on any page of this
// phone, or until a person asks for it. A page on which a session runs over the
// change keeps its parts: the service worker has them for as long as it says so,
// and the server keeps those of versions before.
import { useEffect, useState } from "preact/hooks";
import { isRunning, whenRuns } from "./runs";

const oftenMs = 10 * 60_000;
const againMs = 2_000;
const againTimes = 15;

let waiting: ServiceWorker | null = null;
let old = false; // another page took the version: this one is of a version before
let asked: (() => boolean) | null = null; // whether what a person asked for still may be
const watchers = new Set<() => void>();

/** Has the version that waits take over, if nothing would be lost; the page opens again by itself. */
export function takeVersion(safe: () => boolean): void {
  if (!safe()) return;
  asked = safe;
  letGo(); // nobody needs this build any more
  if (old) location.reload();
  else insist();
}

/**
 * Asks again until the version has taken over: a service worker that the browser ended meanwhile did not hear it. After half a minute,
 * or where counts would be lost, it is no longer asked for: it must not come while somebody counts on.
 */
function insist(times = againTimes): void {
  if (times === 0 || !asked?.()) {
    asked = null;
    tellOthers();
    return;
  }
  take();
  setTimeout(insist, againMs, times - 1);
}

const take = (): void => waiting?.postMessage({ take: true });

const news = (): boolean => old || waiting !== null;

/** Whether a new version waits. */
export function useVersion(): boolean {
  const [waits, set] = useState(news);
  useEffect(() => {
    const tell = (): void => set(news);
    watchers.add(tell);
    tell();
    return () => void watchers.delete(tell);
  }, []);
  return waits;
}

/** Nobody counts, types or reads a sheet here. */
const atRest = (): boolean => !isRunning() && !document.activeElement?.matches("input, textarea, select, dialog *");

/** The lock of pages on which a session runs, by their build; sw.ts knows it too. */
const lockBegins = "shell-";
const lock = lockBegins + document.documentElement.dataset.build;
let release: (() => void) | null = null;

function letGo(): void {
  release?.();
  release = null;
}

/** Tells other pages and the service worker whether a session runs here. */
function tellOthers(): void {
  if (!isRunning()) {
    letGo();
  } else if (!release) {
    const ended = new Promise<void>((done) => {
      release = done;
    });
    void navigator.locks?.request(lock, { mode: "shared" }, () => ended);
  }
}

/** Whether a session runs on a page of this phone. */
const anyRuns = async (): Promise<boolean> =>
  (await navigator.locks?.query())?.held?.some(({ name }) => name?.startsWith(lockBegins)) ?? false;

/** Looks for new versions for as long as this page is open. */
export async function watchVersion(): Promise<void> {
  const { serviceWorker } = navigator;
  tellOthers();
  let begun = serviceWorker.controller !== null; // the first one of all changes nothing
  const look = async (): Promise<void> => {
    const kept = await serviceWorker.ready;
    waiting = kept.waiting;
    for (const w of watchers) w();
    if (!atRest()) return;
    if (old) location.reload();
    else if (waiting && !(await anyRuns())) take();
  };
  // before anything is waited for: the first one may take this page over as soon as it is ready
  serviceWorker.addEventListener("controllerchange", () => {
    old = begun;
    begun = true;
    const wanted = asked?.() ?? false;
    asked = null; // what another page takes later is not what was asked for
    if (old && wanted) location.reload();
    tellOthers();
    void look();
  });
  const kept = await serviceWorker.ready;
  const ask = (): void => void kept.update().then(look, () => undefined); // away from the room there is none
  kept.addEventListener("updatefound", () => kept.installing?.addEventListener("statechange", look));
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && ask());
  setInterval(ask, oftenMs);
  whenRuns(() => {
    tellOthers();
    setTimeout(look); // the lock is let go of before
  });
  void look();
}
