// When a page draws what it was told. Fingers on pads come first: a whole
// station takes a slow phone about as long as the next finger may wait.

/** How often a page draws at most; while fingers count it draws at the pace of eyes, all but what is drawn at once. */
const everyMs = 20;
const everyCountingMs = 200;
const countingMs = 1000; // since the last touch of a pad

/** Between two fingers it draws just after the answer to one, or when none came for a while; but nothing waits longer than for this. */
const afterAnswerMs = 40;
const afterTouchMs = 300;
const longestMs = 800;

export class Drawing {
  private nextMs = 0; // when it may be drawn again
  private touchedMs = -countingMs;
  private changedMs = Number.POSITIVE_INFINITY; // the first change that is not drawn
  private dueMs = Number.POSITIVE_INFINITY;
  private due: ReturnType<typeof setTimeout> | undefined;
  private waits = false; // what is due, for fingers

  constructor(private readonly draw: () => void) {}

  /** A finger counts on a pad. */
  touched(): void {
    this.touchedMs = performance.now();
  }

  /** Something changed. */
  changed(): void {
    const now = performance.now();
    this.changedMs = Math.min(this.changedMs, now);
    this.at(this.quietMs(now), true);
  }

  /** Something that was done on this page has its answer: a number that it moves is drawn at once, and the rest after that. */
  answered(): void {
    const now = performance.now();
    const atMs = now + (this.counting(now) ? afterAnswerMs : 0);
    if (atMs >= this.nextMs) this.at(atMs, false);
  }

  /** Another session, station or person: nothing of the one before stays for a finger that counted there. */
  anew(): void {
    this.touchedMs = -countingMs;
    this.waits = false;
    this.now();
  }

  /** The page has a turn: what is overdue needs no other one. */
  turn(): void {
    if (this.dueMs <= performance.now()) this.now();
  }

  private counting(now: number): boolean {
    return now - this.touchedMs < countingMs;
  }

  /** When no finger waits for it. */
  private quietMs(now: number): number {
    return Math.max(this.nextMs, this.counting(now) ? Math.min(this.touchedMs + afterTouchMs, this.changedMs + longestMs) : now);
  }

  private at(atMs: number, waits: boolean): void {
    const sooner = atMs < this.dueMs || (this.waits && !waits); // what waits may put itself off
    if (!sooner) return;
    clearTimeout(this.due);
    this.dueMs = atMs;
    this.waits = waits;
    this.due = setTimeout(() => this.now(), atMs - performance.now());
  }

  /** Draws, unless what is due waits for fingers and one came since. */
  private now(): void {
    const now = performance.now();
    const quietMs = this.quietMs(now);
    clearTimeout(this.due);
    this.dueMs = Number.POSITIVE_INFINITY;
    if (this.waits && quietMs > now) {
      this.at(quietMs, true);
      return;
    }
    this.changedMs = Number.POSITIVE_INFINITY;
    this.nextMs = now + (this.counting(now) ? everyCountingMs : everyMs);
    this.draw();
  }
}
