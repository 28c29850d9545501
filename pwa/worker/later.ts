// What the worker waits for.

/** Waits until something holds, a second at most. */
export async function until(holds: () => boolean): Promise<void> {
  for (let n = 0; n < 10 && !holds(); n++) await new Promise((soon) => setTimeout(soon, 100));
}

const leastMs = 250;

/** Rings once at the time that was set last. */
export class Alarm {
  private timer: ReturnType<typeof setTimeout> | undefined;

  constructor(private readonly ring: () => void) {}

  set(atMs: number): void {
    clearTimeout(this.timer);
    this.timer = setTimeout(this.ring, Math.max(leastMs, atMs - Date.now()));
  }
}
