// The day so far, on the lead's phone.
import "../parts/day-words";
import type { JSX } from "preact";
import type { View } from "../../bridge/protocol.gen";
import { DaySoFar } from "../parts/day-so-far";
import type { Room } from "../parts/room";
import { clock, say } from "../parts/say";
import { Fold } from "./fold";

export function Day({ room, view }: { room: Room; view: View }): JSX.Element | null {
  const { fromMs, toMs } = view.flow.curve;
  if (fromMs === 0) return null;
  return (
    <Fold title={say("day.title")} says={say("day.says", { from: clock(view.session.openedMs), to: clock(toMs) })}>
      <DaySoFar view={view} id="lead-day" ask={(atMs) => room.back(atMs)} />
    </Fold>
  );
}
