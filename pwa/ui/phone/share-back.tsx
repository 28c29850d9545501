// The share of a phone that does not come back.
import "./rare-words";
import type { JSX } from "preact";
import type { Phone, View } from "../../bridge/protocol.gen";
import { HoldButton } from "../parts/hold";
import type { Room } from "../parts/room";
import { say, sayFault } from "../parts/say";

interface ShareBackProps {
  room: Room;
  view: View;
  of: Phone;
  onFault: (words: string) => void;
}

/** Takes back what a phone may still take alone: of one that does not come back, or that punches no more. */
export function ShareBack({ room, view, of, onFault }: ShareBackProps): JSX.Element | null {
  const now = view.phones.find((p) => p.replica === of.replica && p.station === "extraction");
  const n = now?.shareKnown ? now.shareLeft : 0;
  if (!now || n <= 0) return null;
  const takeBack = async (): Promise<void> => {
    const { fault } = await room.tap({ kind: "reclaimed", from: of.replica, n });
    onFault(fault ? sayFault(fault) : "");
  };
  return (
    <section class="row">
      <p>{say(now.away ? "entries.shareWhy" : "entries.shareIdle", { n })}</p>
      <HoldButton label={say("entries.shareBack", { n })} onHeld={() => void takeBack()} />
    </section>
  );
}
