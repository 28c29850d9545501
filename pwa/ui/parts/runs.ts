// Whether a session runs on this page: then nothing may change under anybody's
// hands. Until a page knows better, one does.
let running = true;
let rested: (() => void) | null = null;

export const isRunning = (): boolean => running;

/** Says so; whoever waits for the end of a session is told of it. */
export function runs(now: boolean): void {
  running = now;
  if (!now) rested?.();
}

/** Has work done whenever nothing runs. */
export function whenAtRest(work: () => void): void {
  rested = work;
}
