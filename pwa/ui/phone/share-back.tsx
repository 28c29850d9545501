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

/** Takes back what a phone that is away may still take alone; nothing while it is heard. */
export function ShareBack({ room, view, of, onFault }: ShareBackProps): JSX.Element | null {
  const n = view.phones.find((p) => p.replica === of.replica && p.away)?.shareLeft ?? 0;
  if (n <= 0) return null;
  const takeBack = async (): Promise<void> => {
    const { fault } = await room.tap({ kind: "reclaimed", from: of.replica, n });
    onFault(fault ? sayFault(fault) : "");
  };
  return (
    <section class="row">
      <p>{say("entries.shareWhy", { n })}</p>
      <HoldButton label={say("entries.shareBack", { n })} onHeld={() => void takeBack()} />
    </section>
  );
}
