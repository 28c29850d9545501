// What screens and the worker say to each other. Screens know nothing of the
// engine, the store or the socket.
import type { Entry, Fact, Ref, Station, View } from "./protocol.gen";

/** A fault: its code finds the sentence, its arguments fill it. */
export interface Fault {
  code: string;
  args: Record<string, string>;
}

/** Where this phone's counts are. */
export interface Truth {
  written: number; // own events
  unsent: number; // of them, not stored by the server
  memory: number; // of them, not on this phone's disk
  refused: number;
  up: boolean; // the server is connected
  heardMs: number; // when it last spoke, ms since 1970
}

/** How far a count has come: its phone's memory only, kept on the phone, stored in the room. */
export type Step = "memory" | "phone" | "room";

/** Who holds this phone, in which session. */
export interface Joined {
  session: string;
  room: string;
  person: string;
  station: Station;
}

/** How this phone joins: with the code on the wall, or the office token. */
export interface Joining {
  code?: string;
  office?: string;
  session?: string;
  person: string;
  station: Station;
}

export type ToWorker =
  | { do: "start"; face: "phone" | "office"; mint: boolean } // mint: go on under a new id
  | { do: "watch"; room: string } // a wall
  | { do: "join"; id: number; joining: Joining }
  | { do: "leave" } // forget the session, once everything is in the room
  | { do: "tap"; id: number; fact: Fact; late: boolean }
  | { do: "entries"; id: number; most: number }
  | { do: "steal" }; // count here instead of in the other tab

export type FromWorker =
  | { tell: "ready"; joined: Joined | null }
  | { tell: "show"; sections: Partial<View> }
  | { tell: "truth"; truth: Truth }
  | { tell: "answer"; id: number; ref: Ref; fault: Fault | null }
  | { tell: "entries"; id: number; entries: Entry[] }
  | { tell: "trouble"; fault: Fault }
  | { tell: "elsewhere" } // another tab of this phone counts
  | { tell: "storage"; state: "kept" | "memory" }
  | { tell: "room"; room: RoomNow | null }; // a wall: what runs in its room

/** What the server says runs in a room. */
export interface RoomNow {
  session: string;
  room: string;
  case: string;
  practice: boolean;
  openedMs: number;
  endedMs: number;
  refilledMs: number; // since when phones bring back what was lost; 0 for not
  code: string;
  codeUntilMs: number;
}
