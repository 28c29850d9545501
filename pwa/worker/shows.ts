// What the page is told to draw. Fingers may count faster than eyes can follow
// what that means for the room: its slower figures are told at a pace.
import type { Step } from "../bridge/messages";
import type { View } from "../bridge/protocol.gen";

/** How often fast fingers have the slower figures told at most; a little sooner, they come with a count. */
const everyMs = 200;
const soonerMs = 50;

/** How long after a count fingers are at it. */
const countingMs = 1000;

/** Sections that every count changes and that no finger waits for: drawing them for each would have fingers wait. */
const slower = ["phones", "mix", "pace", "taken", "quality", "timeOut", "asks"] as const;

export class Shows {
  private held: Partial<View> = {};
  private nextMs = 0; // when sums may be told again
  private countedMs = -countingMs;
  private due: ReturnType<typeof setTimeout> | undefined;

  constructor(private readonly tell: (sections: Partial<View>, steps: Step[]) => void) {}

  /** Another view begins: nothing that is held belongs to it, and all of it is told at once. */
  anew(): void {
    clearTimeout(this.due);
    this.due = undefined;
    this.held = {};
    this.nextMs = 0;
  }

  show(sections: Partial<View>, steps: Step[]): void {
    const now = performance.now();
    if (sections.own) this.countedMs = now;
    const waitMs = now - this.countedMs < countingMs ? this.nextMs - now : 0; // of others the inbox takes care
    if (waitMs <= (sections.own ? soonerMs : 0)) {
      this.all(sections, steps);
      return;
    }
    const rest = { ...sections };
    for (const one of slower) this.hold(one, rest);
    if (Object.keys(this.held).length > 0) this.due ??= setTimeout(() => this.all({}, []), waitMs);
    this.told(rest, steps);
  }

  private all(sections: Partial<View>, steps: Step[]): void {
    const now = { ...this.held, ...sections };
    this.anew();
    this.nextMs = performance.now() + everyMs;
    this.told(now, steps);
  }

  private hold<K extends keyof View>(section: K, from: Partial<View>): void {
    if (from[section] === undefined) return;
    this.held[section] = from[section];
    delete from[section];
  }

  private told(sections: Partial<View>, steps: Step[]): void {
    if (Object.keys(sections).length > 0 || steps.length > 0) this.tell(sections, steps);
  }
}
