// Touches that looked like a bounce: said at once beside the last entries, for a
// minute, and kept in a list, where each can be counted after all.
import "./rare-words";
import type { JSX } from "preact";
import { useEffect, useState } from "preact/hooks";
import { useBusy } from "../parts/busy";
import { Dialog } from "../parts/dialog";
import { changed, useHabits } from "../parts/habits";
import { type Held, heldFresh, heldNow, heldSaidMs, setHeld } from "../parts/pad";
import type { Room } from "../parts/room";
import { clockSeconds, say, sayFault } from "../parts/say";

/** Counts one after all; "" or what went wrong. */
async function countIt(room: Room, one: Held): Promise<string> {
  const mark = (counted: boolean): void =>
    setHeld(heldNow().map((h) => (h.fact === one.fact && h.atMs === one.atMs ? { ...h, counted } : h)));
  mark(true); // before it is: a second press must not count it again
  const { fault } = await room.tap(one.fact);
  if (fault) mark(false);
  return fault ? sayFault(fault) : "";
}

/** The newest of them, and how many there are. */
export function HeldLine({ room, session }: { room: Room; session: string }): JSX.Element | null {
  useHabits();
  const [wrong, setWrong] = useState("");
  const [busy, run] = useBusy();
  const fresh = heldFresh(session);
  const newest = fresh.at(-1);
  useEffect(() => {
    const timer = newest && setTimeout(changed, newest.atMs + heldSaidMs - Date.now());
    return () => clearTimeout(timer);
  }, [newest]);
  if (!newest) return null;
  return (
    <>
      <p class="held" role="status">
        <b>{say("held.back", { n: fresh.length })}</b>
        <span aria-hidden="true">{say("held.afterShort", { n: newest.afterMs })}</span>
        <span class="off">{say("held.after", { n: newest.afterMs })}</span>
        {wrong ? <span class="wrong">{wrong}</span> : null}
      </p>
      <button
        type="button"
        class="do held-do"
        disabled={busy}
        aria-label={say("held.countIt")}
        onClick={() => run(() => countIt(room, newest).then(setWrong))}
      >
        {say("held.count")}
      </button>
    </>
  );
}

/** All that this phone held back in a session, newest first. */
export function HeldList({ room, session, onClose }: { room: Room; session: string; onClose: () => void }): JSX.Element {
  useHabits();
  const [wrong, setWrong] = useState("");
  const [busy, run] = useBusy();
  const all = heldNow()
    .filter((h) => h.session === session)
    .reverse();
  return (
    <Dialog title={say("held.title")} onClose={onClose}>
      <p class="quiet">{say("held.why")}</p>
      {wrong ? (
        <p class="wrong" role="alert">
          {wrong}
        </p>
      ) : null}
      {all.length === 0 ? <p>{say("held.none")}</p> : null}
      <ol class="entries heldlist">
        {all.map((h) => (
          <li key={`${h.atMs} ${h.pad}`}>
            <span class="entry-words">
              <span class="word">{h.pad}</span>
              <span class="when">
                <time>{clockSeconds(h.atMs)}</time>
                <span>{say("held.after", { n: h.afterMs })}</span>
                {h.counted ? <span class="kept">{say("held.counted")}</span> : null}
              </span>
            </span>
            {h.counted ? null : (
              <button type="button" class="do" disabled={busy} onClick={() => run(() => countIt(room, h).then(setWrong))}>
                {say("held.count")}
              </button>
            )}
          </li>
        ))}
      </ol>
    </Dialog>
  );
}
