// Own events on their way to the disk: one transaction takes all that wait.
import { keepOwn, type Written } from "./store";

/** Keeps own events in the order of writing. */
export class Keeper {
  /** Own events that the disk refused; each try takes them along. */
  unkept: Written[] = [];
  private waiting: Written[] = [];
  private busy = false;
  private working: Promise<void> = Promise.resolve();

  /** done is told of every batch: kept, or in memory only. */
  constructor(private readonly done: (batch: Written[], kept: boolean) => void) {}

  keep(events: Written[]): void {
    this.waiting.push(...events);
    if (!this.busy) this.working = this.work();
  }

  /** Waits until nothing waits for the disk. */
  async idle(): Promise<void> {
    while (this.busy) await this.working;
  }

  private async work(): Promise<void> {
    this.busy = true;
    while (this.waiting.length > 0) {
      const batch = this.waiting;
      this.waiting = [];
      let kept = true;
      try {
        await keepOwn([...this.unkept, ...batch]);
        this.unkept = [];
      } catch {
        kept = false;
        this.unkept.push(...batch);
      }
      this.done(batch, kept);
    }
    this.busy = false;
  }
}
