// A number that does not wait for the screen around it: fingers count faster than
// a slow phone draws a station.

import type { JSX } from "preact";
import { createContext } from "preact";
import { useContext, useLayoutEffect, useReducer, useRef } from "preact/hooks";
import type { View } from "../../bridge/protocol.gen";
import type { Room } from "./room";
import { count } from "./say";
import { complete } from "./shown";

/** The room that a page counts in. */
export const CountsIn = createContext<Room | null>(null);

/** A count of the view, drawn as soon as it is told; fast fingers have the rest of a screen drawn a few times a second. */
export function AtOnce({ of }: { of: (view: View) => number }): JSX.Element {
  const room = useContext(CountsIn);
  const [, again] = useReducer((n: number, _: null) => n + 1, 0);
  const now = useRef({ read: (): number => 0, drawn: 0 }).current;
  const read = (): number => (room && complete(room.shown.view) ? of(room.shown.view) : now.drawn); // while another session is opened: the one before
  now.read = read;
  now.drawn = read();
  useLayoutEffect(() => room?.watchNow(() => now.read() !== now.drawn && again(null)), [room, now]);
  return <>{count(now.drawn)}</>;
}
