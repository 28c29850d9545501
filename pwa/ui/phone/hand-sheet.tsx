// Counts that the room lacks, given on by hand: one tap from the notice that says
// that the room is not heard, or that this phone is full.
import "./rare-words";
import type { JSX } from "preact";
import { Dialog } from "../parts/dialog";
import type { Room } from "../parts/room";
import { say } from "../parts/say";
import { CarryIn, HandOut } from "./carry";

/** What lies here only, and how it gets to the room without a network. */
export function HandSheet({ room, words, onClose }: { room: Room; words: string; onClose: () => void }): JSX.Element {
  const { truth, joined } = room.shown;
  const unsent = truth?.unsent ?? 0;
  return (
    <Dialog title={say("byHand.title")} onClose={onClose}>
      <p>{words}</p>
      {unsent > 0 ? <p>{say("byHand.file")}</p> : null}
      {joined ? <HandOut room={room} joined={joined} /> : null}
      <CarryIn room={room} />
    </Dialog>
  );
}
