// What tells a bounce from a count. A glove that sticks, skids or chatters
// touches again where it just was, sooner than a finger can: lifting a finger
// and bringing it back takes about a tenth of a second (from memory: the
// fastest tap some eight times a second with one finger). A glove that rolls or
// wrinkles also splits one contact into two. Two fingers are never in one place,
// so a touch somewhere else on the pad counts however soon it comes, and so does
// one beside a finger that is still down.

/** No finger is back in its place sooner after it was lifted. */
const afterLiftMs = 60;
/** Nor after it was set down: ten taps a second with one finger. */
const afterPressMs = 100;
/** How long after a finger was lifted its chatter may last; what comes then counts, whatever came between. */
const chatterMs = 200;
/** Halves of one contact lie closer: two fingertips side by side are not so near on any screen, a laptop's of 96 pixels an inch either. */
const splitPx = 38;
/** One that stays longer is no contact that splits; nor does a lift that was never heard close its place for good. */
const splitMs = 1000;
/** One place: 10 mm, less than the middles of two fingertips are apart (the narrowest is some 14 mm broad, from memory). */
const placePx = 63;

interface Touch {
  key: string; // of a key, which has a place of its own; "" for a finger
  x: number;
  y: number;
  pressedMs: number; // of the finger that counted, and so is the next
  liftedMs: number;
  endMs: number; // when the last touch here ended, one that was held back too
}

/** The touches of one pad. */
export class Bounce {
  private readonly down = new Map<number | string, Touch>();
  private over: Touch[] = [];

  /** A finger, or a key, came down: whether it counts (0), or how many ms ago it was there (at least 1). */
  press(finger: number | string, x: number, y: number, atMs: number): number {
    this.over = this.over.filter((t) => atMs - t.endMs < afterPressMs);
    const key = typeof finger === "string" ? finger : "";
    const near = (t: Touch, px = placePx): boolean => t.key === key && Math.hypot(t.x - x, t.y - y) <= px;
    const split = [...this.down.values()].find((t) => near(t, splitPx) && atMs - t.pressedMs < splitMs);
    const before = split ?? this.over.find((t) => near(t) && this.soon(t, atMs));
    if (before) {
      this.down.set(finger, before);
      return Math.max(1, Math.round(atMs - (split ? before.pressedMs : before.endMs)));
    }
    this.down.set(finger, { key, x, y, pressedMs: atMs, liftedMs: 0, endMs: 0 });
    return 0;
  }

  private soon(t: Touch, atMs: number): boolean {
    return atMs - t.endMs < afterLiftMs || atMs - t.pressedMs < afterPressMs;
  }

  /** It was lifted. */
  lift(finger: number | string, atMs: number): void {
    const t = this.down.get(finger);
    if (!t) return;
    this.down.delete(finger);
    if ([...this.down.values()].includes(t)) return; // the other half of it is still down
    if (t.liftedMs === 0) t.liftedMs = atMs;
    else if (atMs - t.liftedMs > chatterMs) return;
    t.endMs = atMs;
    if (!this.over.includes(t)) this.over.push(t);
  }

  /** Whether a finger is on the pad. */
  get held(): boolean {
    return this.down.size > 0;
  }

  has(finger: number | string): boolean {
    return this.down.has(finger);
  }
}
