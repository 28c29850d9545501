// Whether a session runs on this page: then nothing may change under anybody's
// hands. Until a page knows better, one does.
let running = true;
let told: (() => void) | null = null;

export const isRunning = (): boolean => running;

/** Says so to whoever waits for it. */
export function runs(now: boolean): void {
  running = now;
  told?.();
}

/** Has work done whenever that is said. */
export function whenRuns(work: () => void): void {
  told = work;
}
