// Others' events on their way to the disk, so that a start without network
// shows the room. A crowd writes hundreds a second: each in a transaction of
// its own, they would have own counts wait for seconds.
import { keepOthers } from "./store";

/** How often others' events are written at most. */
const writeEveryMs = 100;

/** Keeps others' events when convenient: what is lost here the server sends again. */
export class Mirror {
  private waiting: Uint8Array[] = [];
  private session = "";
  private working: Promise<void> | null = null;
  private hurry = (): void => undefined;

  /** Takes events of a session; what waits of another one is of no use any more. */
  keep(session: string, bodies: Uint8Array[]): void {
    if (session !== this.session) this.waiting = [];
    this.session = session;
    this.waiting.push(...bodies);
    this.working ??= this.work();
  }

  /** Writes what waits at once, and waits for it. */
  async idle(): Promise<void> {
    while (this.working) {
      this.hurry();
      await this.working;
    }
  }

  private async work(): Promise<void> {
    while (this.waiting.length > 0) {
      const batch = this.waiting;
      this.waiting = [];
      const pause = new Promise<void>((over) => {
        this.hurry = over;
        setTimeout(over, writeEveryMs);
      });
      await keepOthers(this.session, batch, "relaxed").catch(() => undefined);
      await pause;
    }
    this.working = null;
  }
}
