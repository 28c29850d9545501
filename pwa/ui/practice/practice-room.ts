// The room of practice: a worker of its own that keeps apart and has no server.
import type { Cast } from "../../bridge/messages";
import type { Station } from "../../bridge/protocol.gen";
import { writeMark } from "../parts/mark";
import { Room } from "../parts/room";

export class PracticeRoom extends Room {
  constructor() {
    super({ do: "start", face: "practice", mint: false });
  }

  /** Begins a made-up session with what others said in it; what was practised before is forgotten. */
  practise(cast: readonly Cast[], person: string, station: Station): Promise<unknown> {
    return this.ask((id) => ({ do: "practise", id, cast, person, station }), false);
  }

  /** Takes the made-up network away, or brings it back. */
  away(away: boolean): void {
    this.send({ do: "away", away });
  }

  /** Ends for good, and forgets all. */
  override end(): void {
    super.end();
    writeMark("practice", ""); // nothing is missed at the next start
    indexedDB.deleteDatabase("rootledger-practice");
  }
}
