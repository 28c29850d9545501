// What the office shows of punch set-ups is a part of its own: it comes when it
// is first shown.
import type { JSX } from "preact";
import { useEffect, useState } from "preact/hooks";
import type { View } from "../../bridge/protocol.gen";
import type { Room, Shown } from "../parts/room";
import { say } from "../parts/say";
import { Wrong } from "./field";

/** What import() answered; "failed" when it could not, null before. */
function usePart<T>(load: () => Promise<T>): T | "failed" | null {
  const [part, setPart] = useState<T | "failed" | null>(null);
  useEffect(() => {
    load().then(setPart, () => setPart("failed"));
  }, []);
  return part;
}

const lost = (): JSX.Element => <Wrong>{say("office.tables-unloaded")}</Wrong>;

export function Setups(of: { room: Room; shown: Shown; token: string }): JSX.Element | null {
  const part = usePart(() => import("./setups-page"));
  return part === "failed" ? lost() : part && <part.SetupsPage {...of} />;
}

export function Punches(of: { room: Room; view: View }): JSX.Element | null {
  const part = usePart(() => import("./punch-card"));
  return part === "failed" ? lost() : part && <part.PunchCard {...of} />;
}
