// What the room sends: taken a few milliseconds a turn, behind whatever fingers
// ask meanwhile, and shown at a pace that eyes can follow.

/** How often what a crowd counts is shown; what comes now and then, or is counted here, is shown at once. */
const showEveryMs = 200;
const atOnce = 5; // so many in a row, before it is a crowd

/** How long frames are taken in a turn: a finger waits no longer than for that and one frame. */
const turnMs = 4;

export class Inbox {
  private waiting: Uint8Array[] = [];
  private readonly turn = new MessageChannel();
  private nextMs = 0; // when the next may be shown
  private due: ReturnType<typeof setTimeout> | undefined;

  /** A frame that is taken quietly shows nothing: what it brought is told by the next show. */
  constructor(
    private readonly take: (frame: Uint8Array, quiet: boolean) => void,
    private readonly show: () => void,
  ) {
    this.turn.port1.onmessage = () => this.next();
  }

  put(frame: Uint8Array): void {
    if (this.waiting.push(frame) === 1) this.turn.port2.postMessage(null);
  }

  private next(): void {
    const untilMs = performance.now() + turnMs;
    do {
      const frame = this.waiting.shift();
      if (frame) this.taken(frame);
    } while (this.waiting.length > 0 && performance.now() < untilMs);
    if (this.waiting.length > 0) this.turn.port2.postMessage(null);
  }

  private taken(frame: Uint8Array): void {
    const waitMs = this.nextMs - performance.now();
    if (waitMs > 0) this.due ??= setTimeout(() => this.show(), waitMs);
    this.take(frame, waitMs > 0);
  }

  /** Says that all that is known was shown just now. */
  shown(): void {
    clearTimeout(this.due);
    this.due = undefined;
    const now = performance.now(); // own counts may come faster than that, and hold nothing back for longer
    this.nextMs = Math.min(now, Math.max(this.nextMs, now - atOnce * showEveryMs)) + showEveryMs;
  }

  /** Takes all that waits: what comes next is about a state that has it. */
  drain(): void {
    for (let frame = this.waiting.shift(); frame; frame = this.waiting.shift()) this.taken(frame); // one may drop the rest
  }

  /** Drops all that waits: it is of another session, or comes again. */
  drop(): void {
    this.waiting = [];
    clearTimeout(this.due);
    this.due = undefined;
  }
}
