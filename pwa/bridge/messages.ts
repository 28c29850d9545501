// What screens and the worker say to each other. Screens know nothing of the
// engine, the store or the socket.
import type { Behind, Comparison, Continued, Entry, Fact, Figure, Ref, Setup, Station, View, Weighed } from "./protocol.gen";

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
  sure?: boolean; // leave another session although some of its counts are only here
}

/** How a phone starts. */
export interface Starting {
  do: "start";
  face: "phone" | "office" | "practice"; // practice: all by itself, kept apart, without a server
  mint: boolean; // go on under a new id
  steal: boolean; // count here instead of in the other tab
  mark: string | null; // what the page wrote at the last start, "" for nothing, null when it can not write
  nextMark: string; // what it writes at this one
}

/** A figure of the View that is asked about; at: a zone, region, pass, dish or agent, "" for all; size: or a label's number, 0 for all. */
export interface Where {
  of: Figure;
  at: Ref;
  size: number;
}

/** A shape whose area is asked for. Whole numbers: sides and axes in mm, points in units of a photo, as x and y in turn. */
export type Shape =
  | { kind: "rectangle" | "ellipse"; mm: readonly [number, number] }
  | { kind: "outline"; points: readonly number[]; ruler: readonly [number, number, number, number]; rulerMm: number };

/** Hairs that are wanted in an area, in whole numbers. */
export interface Wanted {
  areaMm2: number;
  hairs10: number; // native hairs per cm² × 10
  sharePerMille: number;
  perGraft100: number;
}

/** What a setting of the watch leads to in this session. Chances in parts of 10,000. */
export interface Chances {
  attempts: number; // expected in all
  planned: boolean; // a budget says so
  falseParts: number; // of an alarm among them while nothing is wrong
  falseEvery: number; // attempts to such an alarm, on average
  noticedIn: number; // attempts to an alarm at the share to notice, on average
  noticeParts: number; // of one within 400 attempts
}

/** The cut attempts of a pass in groups of 50 outcomes. Shares in parts of 10,000. */
export interface Chart {
  mean: number;
  low: number; // what a group keeps to
  high: number;
  rest: number; // outcomes after the last full group
  groups: { cut: number; out: boolean; atMs: number }[];
}

/** Somebody of a made-up session, and what they said. A text of a fact that begins with "@" is the name of what was said before. */
export interface Cast {
  person: string;
  station: Station;
  knows?: number; // only what that many before them said; all of them when it is left out
  says: readonly { fact: Fact; name?: string; agoMin: number }[]; // in order
}

export type ToWorker =
  | Starting
  | { do: "watch"; room: string } // a wall
  | { do: "join"; id: number; joining: Joining }
  | { do: "practise"; id: number; cast: readonly Cast[]; person: string; station: Station } // a made-up session, from its beginning
  | { do: "away"; away: boolean } // practice: the made-up room is out of reach
  | { do: "leave" } // forget the session, once everything is in the room
  | { do: "tap"; id: number; fact: Fact; late: boolean }
  | { do: "entries"; id: number; most: number; of: string } // of: whose, a replica id; empty for this phone's
  | { do: "behind"; id: number; where: Where; most: number }
  | { do: "area"; id: number; shape: Shape }
  | { do: "wanted"; id: number; wanted: Wanted }
  | { do: "setup"; id: number; fact: Fact } // what follows from a set-up that nobody recorded
  | { do: "compare"; id: number; trial: Ref; full: boolean } // trial: "" for all set-ups; full: with the figures of the office
  | { do: "chances"; id: number; fact: Fact } // what a setting of the watch leads to
  | { do: "chart"; id: number; pass: Ref }
  | { do: "weigh"; id: number; fact: Fact } // a dose or a weight, before it is kept
  | { do: "continued"; id: number }
  | { do: "sight"; id: number; sight: Sight } // how large the room's wall is; a lead's to say
  | { do: "day"; id: number; atMs: number } // the room at a moment of its day, of its server
  | { do: "handOut"; id: number } // what the room lacks, as a file
  | { do: "carryIn"; id: number; file: Uint8Array } // such a file of another phone
  | { do: "hurry" } // the page is seen again
  | { do: "still" }; // is the worker there?

export type FromWorker =
  | { tell: "alive"; lock: string } // as long as the worker lives it holds this lock
  | { tell: "ready"; joined: Joined | null; kept: number } // own events that this phone has kept
  | { tell: "marked" } // the mark of this start is kept
  | { tell: "show"; sections: Partial<View>; steps: Step[] } // steps of the own last entries; none: as before
  | { tell: "truth"; truth: Truth }
  | { tell: "answer"; id: number; ref: Ref; fault: Fault | null }
  | { tell: "entries"; id: number; entries: Entry[]; steps: Step[] }
  | { tell: "behind"; id: number; behind: Behind | null; steps: Step[] }
  | { tell: "wanted"; id: number; grafts: number; density10: number; fault: Fault | null }
  | { tell: "weighed"; id: number; weighed: Weighed | null; fault: Fault | null } // null beside a fault
  | { tell: "continued"; id: number; rest: Continued | null }
  | { tell: "area"; id: number; mm2: number; fault: Fault | null } // mm², 0 beside a fault
  | { tell: "setup"; id: number; setup: Setup | null; fault: Fault | null } // null beside a fault
  | { tell: "compare"; id: number; compared: Comparison | null }
  | { tell: "chances"; id: number; chances: Chances | null; fault: Fault | null } // null beside a fault
  | { tell: "chart"; id: number; chart: Chart }
  | { tell: "file"; id: number; file: Uint8Array } // empty when the room has everything
  | { tell: "carried"; id: number; carried: Carried; fault: Fault | null }
  | { tell: "trouble"; fault: Fault }
  | { tell: "unknown"; unknown: boolean } // the room's server does not know this phone
  | { tell: "elsewhere" } // another tab of this phone counts
  | { tell: "storage"; state: "kept" | "memory" }
  | { tell: "room"; room: RoomNow | null } // a wall: what runs in its room
  | { tell: "day"; id: number; day: Then | Fault }
  | { tell: "still" };

/** What a file of another phone brought. */
export interface Carried {
  n: number; // entries that were new here
  from: string[]; // who wrote them
}

/** How large a room's wall is and from how far it is read, in mm. */
export interface Sight {
  diagonalMm: number;
  distanceMm: number;
}

/** A session at a moment of its day, as it was known then and as it is known now about then. */
export interface Then {
  atMs: number;
  known: boolean; // whether it is known what had arrived by then; else knew is empty
  knew: View;
  now: View;
  late: { person: string; station: string; entries: number; cameMs: number }[]; // written by then, and came after
}

/** What the server says runs in a room. */
export interface RoomNow {
  session: string;
  room: string;
  case: string;
  practice: boolean;
  openedMs: number;
  endedMs: number;
  refilledMs: number; // since when phones bring back what was lost; 0 for not
  olderMs: number; // since when the server is known to have less than it told; 0 when it is not
  code: string;
  codeUntilMs: number;
  sight: Sight;
  address: string; // of the server for phones, where this page's is only this machine's own; "" for none
}
