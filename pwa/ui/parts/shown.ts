// What a page shows of the room.
import type { Fault, Joined, RoomNow, Step, Truth } from "../../bridge/messages";
import type { View } from "../../bridge/protocol.gen";

/** All that screens draw from. Sections are there once the engine has told them. */
export interface Shown {
  ready: boolean;
  joined: Joined | null;
  view: View | null;
  steps: Step[]; // how far each of the own last entries has come
  truth: Truth | null;
  trouble: Fault | null;
  unknown: boolean; // the room's server does not know this phone
  joining: boolean; // whoever holds it joins again
  elsewhere: boolean;
  inMemory: boolean;
  nearlyFull: boolean; // this phone's storage
  room: RoomNow | null | undefined; // a wall: undefined until the server was asked
}

export const nothing: Shown = {
  ready: false,
  joined: null,
  view: null,
  steps: [],
  truth: null,
  trouble: null,
  unknown: false,
  joining: false,
  elsewhere: false,
  inMemory: false,
  nearlyFull: false,
  room: undefined,
};

/** A view is drawn when the engine has told every section once. */
export function complete(view: View | null): view is View {
  return view !== null && view.session !== undefined && view.own !== undefined;
}
