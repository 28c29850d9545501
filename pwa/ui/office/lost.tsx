// A session that this browser works in and the server does not know: bringing it
// back from what is held here and on the phones.
import type { JSX } from "preact";
import { useEffect, useState } from "preact/hooks";
import type { Joined } from "../../bridge/messages";
import type { Room, Shown } from "../parts/room";
import { say, sayFault } from "../parts/say";
import { Glyph } from "../parts/strokes";
import { createSession, wordsOf } from "./api";
import { Wrong } from "./field";
import { nameOf } from "./names";
import type { Sessions } from "./sessions";

interface LostProps {
  room: Room;
  shown: Shown;
  token: string;
  sessions: Sessions;
  onBack: () => void;
}

/** The server knows the session and not this browser: its data were set back. */
const isStranger = ({ trouble, truth }: Shown): boolean => trouble?.code === "secret-refused" && truth?.up !== true;

/** Whether the server was asked for its sessions since this page is in this one, and does not have it. */
function useLost(joined: Joined | null, { rows, asked, again }: Sessions): boolean {
  const [since, setSince] = useState(Number.POSITIVE_INFINITY);
  useEffect(() => {
    setSince(performance.now());
    if (joined) again();
  }, [joined?.session]);
  return joined !== null && rows !== null && asked >= since && !rows.some((r) => r.session === joined.session);
}

/** Makes the session anew if need be and joins it as before; null when done, else why not. */
async function bringBack(room: Room, token: string, { session, room: name, person }: Joined): Promise<string | null> {
  try {
    await createSession(token, session, name, true);
  } catch (error) {
    return wordsOf(error);
  }
  const { fault } = await room.join({ office: token, session, person, station: "office" });
  if (fault) return sayFault(fault);
  room.forgive();
  return null;
}

export function Lost({ room, shown, token, sessions, onBack }: LostProps): JSX.Element | null {
  const [busy, setBusy] = useState(false);
  const [problem, setProblem] = useState("");
  const { joined } = shown;
  const lost = useLost(joined, sessions);
  if (!joined || (!lost && !isStranger(shown))) return null;
  const what = nameOf(joined.room, shown.view?.session?.case ?? "");
  const back = async (): Promise<void> => {
    setBusy(true);
    const why = await bringBack(room, token, joined);
    setBusy(false);
    setProblem(why ?? "");
    sessions.again();
    if (why === null) onBack();
  };
  return (
    <section class="ask o-lost">
      <Glyph of="ask" />
      <h2>{say(lost ? "office.lost" : "office.stranger", { what })}</h2>
      <p>{say(lost ? "office.lost-why" : "office.stranger-why")}</p>
      <button type="button" class="do first" disabled={busy} onClick={() => void back()}>
        {say(lost ? "office.lost-do" : "office.stranger-do")}
      </button>
      {problem !== "" && <Wrong>{problem}</Wrong>}
    </section>
  );
}
