// Touches that were held back: said at once beside the last entries, for a minute,
// and kept in a list, where whoever made one can count it after all.
import "./rare-words";
import type { JSX } from "preact";
import { useEffect, useState } from "preact/hooks";
import { useBusy } from "../parts/busy";
import { Dialog } from "../parts/dialog";
import { changed, useHabits } from "../parts/habits";
import { type Held, heldFresh, heldNow, heldSaidMs, isOf, type Place, setHeld } from "../parts/pad";
import type { Room } from "../parts/room";
import { clockSeconds, say, sayFault } from "../parts/say";

/** Counts one after all; "" or what went wrong. */
async function countIt(room: Room, one: Held): Promise<string> {
  const counted = { ...one, counted: true };
  const put = (from: Held, to: Held): void => setHeld(heldNow().map((h) => (h === from ? to : h)));
  put(one, counted); // before it is: a second press must not count it again
  const { fault } = await room.tap(one.fact);
  if (fault) put(counted, one);
  return fault ? sayFault(fault) : "";
}

/** Why one was. */
const whyWords = (h: Held): string => (h.why ? say(`held.${h.why}`) : say("held.after", { n: h.afterMs }));

/** The newest of a place, and how many there are. */
export function HeldLine({ room, place }: { room: Room; place: Place }): JSX.Element | null {
  useHabits();
  const [wrong, setWrong] = useState("");
  const [busy, run] = useBusy();
  const fresh = heldFresh(place);
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
        <span aria-hidden="true">{newest.why ? whyWords(newest) : say("held.afterShort", { n: newest.afterMs })}</span>
        <span class="off">{whyWords(newest)}</span>
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

/** All that this phone held back in a session, newest first; what another person or station did is a record. */
export function HeldList({ room, place, onClose }: { room: Room; place: Place; onClose: () => void }): JSX.Element {
  useHabits();
  const [wrong, setWrong] = useState("");
  const [busy, run] = useBusy();
  const all = heldNow()
    .filter((h) => h.session === place.session)
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
        {all.map((h, i) => (
          <li key={`${h.atMs} ${all.length - i}`}>
            <span class="entry-words">
              <span class="word">{h.pad}</span>
              <span class="when">
                <time>{clockSeconds(h.atMs)}</time>
                <span>{whyWords(h)}</span>
                {isOf(place, h) ? null : <span>{h.person}</span>}
                {h.counted ? <span class="kept">{say("held.counted")}</span> : null}
              </span>
            </span>
            {h.counted || !isOf(place, h) ? null : (
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
