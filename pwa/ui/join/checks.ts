// What this phone can be trusted with, as the page finds by looking at itself
// and by asking the room; it looks again by itself.
import { useEffect, useState } from "preact/hooks";

export type PhoneKind = "iphone" | "android" | "computer";

/** What was found. */
export interface Found {
  kind: PhoneKind;
  safe: boolean; // the browser trusts this address: https, or the machine itself
  onHome: boolean; // the page was opened from its icon
  pages: "coming" | "kept" | "failed" | "never";
  storage: "asking" | "firm" | "kept" | "none"; // firm: the browser promised not to clear it by itself
  room: "asking" | "there" | "away";
  clockMs: number; // how far this clock is ahead of the room's; whole seconds are all that is known
}

const agent = navigator.userAgent;
const touches = navigator.maxTouchPoints > 1;

/** Which kind of phone this is: its way to the home screen differs. A tablet may call itself a computer. */
const kind: PhoneKind =
  /iPhone|iPad|iPod/.test(agent) || (/Macintosh/.test(agent) && touches) ? "iphone" : /Android/.test(agent) ? "android" : "computer";

const onHome = (): boolean =>
  matchMedia("(display-mode: standalone)").matches || (navigator as Navigator & { standalone?: boolean }).standalone === true;

/** The browser's own question whether to put the page on the home screen, which it hands out once it may be asked. */
interface Offer extends Event {
  prompt(): Promise<unknown>;
}

let offer: Offer | null = null;
addEventListener("beforeinstallprompt", (event) => {
  event.preventDefault();
  offer = event as Offer;
});

/** Has the browser ask; null where it does not. */
export const install = (): (() => Promise<unknown>) | null => (offer ? () => (offer as Offer).prompt() : null);

/** Writes, reads and takes away again, as counts will be written. */
async function canWrite(): Promise<boolean> {
  const name = "rootledger-look";
  try {
    const open = indexedDB.open(name, 1);
    open.onupgradeneeded = () => open.result.createObjectStore("look");
    const db = await settled(open);
    const write = db.transaction("look", "readwrite", { durability: "strict" }).objectStore("look");
    await settled(write.put("kept", 1));
    const kept = await settled<string>(db.transaction("look").objectStore("look").get(1));
    db.close();
    indexedDB.deleteDatabase(name);
    return kept === "kept";
  } catch {
    return false;
  }
}

const settled = <T>(request: IDBRequest<T>): Promise<T> =>
  new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });

async function lookAtStorage(): Promise<Pick<Found, "storage">> {
  if (!(await canWrite())) return { storage: "none" };
  const firm = (await navigator.storage?.persist?.().catch(() => false)) ?? false;
  return { storage: firm ? "firm" : "kept" };
}

async function lookAtPages(): Promise<Pick<Found, "pages">> {
  if (!navigator.serviceWorker) return { pages: "never" };
  const known = await navigator.serviceWorker.getRegistration().catch(() => undefined);
  if (known?.active) return { pages: "kept" };
  return { pages: known?.installing || known?.waiting || performance.now() < beganMsMax ? "coming" : "failed" };
}

/** How long after its start a page may take to begin keeping pages: one that failed leaves nothing behind. */
const beganMsMax = 10_000;

/** Half of the second that a server's date leaves out. */
const halfMs = 500;
const answerMsMax = 4_000;

async function lookAtRoom(): Promise<Pick<Found, "room" | "clockMs"> | { room: "away" }> {
  const asked = Date.now();
  try {
    const { headers } = await fetch("/health", { cache: "no-store", signal: AbortSignal.timeout(answerMsMax) });
    const date = Date.parse(headers.get("Date") ?? "");
    const clockMs = Number.isNaN(date) ? 0 : (asked + Date.now()) / 2 - date - halfMs;
    return { room: "there", clockMs };
  } catch {
    return { room: "away" };
  }
}

const againMs = 3_000;

/** What is found, and found again while the page is open. */
export function useFound(): Found {
  const [found, set] = useState<Found>({
    kind,
    safe: window.isSecureContext,
    onHome: onHome(),
    pages: "coming",
    storage: "asking",
    room: "asking",
    clockMs: 0,
  });
  useEffect(() => {
    let ended = false;
    const add = (part: Partial<Found>): void => {
      if (!ended) set((before) => ({ ...before, ...part }));
    };
    const look = (): void => {
      void lookAtPages().then(add);
      void lookAtRoom().then(add);
      add({ onHome: onHome() });
    };
    void lookAtStorage().then(add);
    look();
    const timer = setInterval(look, againMs);
    addEventListener("online", look);
    return () => {
      ended = true;
      clearInterval(timer);
      removeEventListener("online", look);
    };
  }, []);
  return found;
}
