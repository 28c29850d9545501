// The screen stays on at a station, where a phone lets a page ask for that.
import { changed } from "../parts/habits";

/** Whether it stays on: asked for, refused for now (a battery that is low), or nothing a page can ask for. */
export type Wake = "on" | "asked" | "refused" | "none";

let wake: Wake = "none";
let lock: WakeLockSentinel | null = null;
let wanted = false;
let asking = false;
let againMs = 0; // when a touch may ask again

/** How long a refusal of a touch stands before another one asks: fast fingers do not wait for the same answer each time. */
const refusedMs = 30_000;

export const wakeNow = (): Wake => wake;

function set(to: Wake): void {
  if (wake === to) return;
  wake = to;
  changed();
}

/** Asks; some browsers grant it to a touch only. */
async function ask(touched: boolean): Promise<void> {
  if (document.visibilityState !== "visible" || lock || asking) return;
  asking = true;
  try {
    const got = await navigator.wakeLock.request("screen");
    if (!wanted) return void got.release(); // nobody counts here any more
    lock = got;
    set("on");
    got.addEventListener("release", () => {
      if (lock === got) lock = null;
      set("asked"); // the page went away; it asks again when it is back
    });
  } catch {
    if (touched) againMs = performance.now() + refusedMs;
    set("refused");
  } finally {
    asking = false;
  }
}

/** Keeps the screen on until the call of what it returns. */
export function keepAwake(): () => void {
  if (!("wakeLock" in navigator)) return () => undefined;
  const again = (): void => void ask(false);
  const touched = (): void => void (performance.now() >= againMs && ask(true)); // a refusal may have ended by then
  document.addEventListener("visibilitychange", again);
  document.addEventListener("pointerup", touched);
  wanted = true;
  again();
  return () => {
    wanted = false;
    document.removeEventListener("visibilitychange", again);
    document.removeEventListener("pointerup", touched);
    void lock?.release();
    lock = null;
  };
}
