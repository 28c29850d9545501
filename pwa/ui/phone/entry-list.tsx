// The list of a phone's entries: undo with a reason, and moving what was
// counted in the wrong place.
import "./rare-words";
import type { JSX } from "preact";
import { useEffect, useState } from "preact/hooks";
import type { Step } from "../../bridge/messages";
import type { Entry, Phone, View } from "../../bridge/protocol.gen";
import { useBusy } from "../parts/busy";
import { Dialog } from "../parts/dialog";
import { EntryGlyph, entryWords, StepMark } from "../parts/entry";
import type { Room } from "../parts/room";
import { clockSeconds, say, sayFault } from "../parts/say";
import { canMove, MoveSheet } from "./refile";
import { ShareBack } from "./share-back";

const listed = 60;
const listedMore = 200; // a refile moves no more
const lasts = [10, 25, 60] as const;

interface ListProps {
  room: Room;
  view: View;
  of: Phone | null; // whose; null for this phone's own
  onClose: () => void;
}

/** The sheet of a phone's entries, newest first, each with its undo or its way back. It follows what the room gets. */
export function EntryList({ room, view, of, onClose }: ListProps): JSX.Element {
  const [list, setList] = useState<{ entries: Entry[]; steps: Step[] }>({ entries: [], steps: [] });
  const [most, setMost] = useState(listed);
  const [wrong, setWrong] = useState("");
  const [said, setSaid] = useState("");
  const [reason, setReason] = useState("");
  const [chosen, setChosen] = useState<readonly string[] | null>(null); // null while nothing is to be moved
  const [moving, setMoving] = useState(false);
  const [busy, run] = useBusy();
  const { truth, view: now } = room.shown;
  useEffect(() => {
    if (truth) void room.entries(most, of?.replica ?? "").then((got) => got && setList(got)); // once more whenever there is more
  }, [room, truth, now, of, most]);
  const turn = async (e: Entry): Promise<void> => {
    const { fault } = await room.tap(
      e.undone ? { kind: "restore", target: e.ref } : { kind: "void", target: e.ref, reason: reason.trim() },
    );
    setWrong(fault ? sayFault(fault) : "");
    if (!fault && !e.undone) setReason(""); // it was the reason of this one
  };
  const movable = list.entries.filter(canMove);
  const picked = movable.filter((e) => chosen?.includes(e.ref));
  if (moving) {
    const moved = (words: string): void => {
      setSaid(words);
      setMoving(false);
      setChosen([]);
    };
    return <MoveSheet room={room} view={view} of={picked} onMoved={moved} onBack={() => setMoving(false)} onClose={onClose} />;
  }
  const between = (): void => {
    const at = picked.map((e) => movable.indexOf(e));
    setChosen(movable.slice(Math.min(...at), Math.max(...at) + 1).map((e) => e.ref));
  };
  const toggle = (e: Entry): void => setChosen(chosen?.includes(e.ref) ? chosen.filter((r) => r !== e.ref) : [...(chosen ?? []), e.ref]);
  return (
    <Dialog title={of ? say("entries.of", { person: of.person }) : say("entries.title")} onClose={onClose}>
      {of ? <ShareBack room={room} view={view} of={of} onFault={setWrong} /> : null}
      {list.entries.length === 0 ? <p class="quiet">{say("phone.nothingYet")}</p> : null}
      {said ? (
        <p class="kept" role="status">
          {said}
        </p>
      ) : null}
      {wrong ? (
        <p class="wrong" role="alert">
          {wrong}
        </p>
      ) : null}
      {chosen === null ? (
        <>
          {movable.length > 0 ? (
            <button type="button" class="do move" onClick={() => setChosen([])}>
              {say("entries.move")}
            </button>
          ) : null}
          <label class="field">
            <span>{say("entries.reason")}</span>
            <input value={reason} maxLength={500} autoComplete="off" onInput={(e) => setReason(e.currentTarget.value)} />
          </label>
        </>
      ) : (
        <>
          <p class="quiet">{say("entries.pick")}</p>
          <div class="picks">
            <div class="acts short">
              {lasts
                .filter((_, i) => i === 0 || movable.length > (lasts[i - 1] ?? 0))
                .map((n) => (
                  <button type="button" class="do" key={n} onClick={() => setChosen(movable.slice(0, n).map((e) => e.ref))}>
                    {say("entries.last", { n })}
                  </button>
                ))}
              <button type="button" class="do" disabled={picked.length < 2} onClick={between}>
                {say("entries.between")}
              </button>
            </div>
            <div class="acts short">
              <button type="button" class="do first" disabled={picked.length === 0} onClick={() => setMoving(true)}>
                {picked.length === 0 ? say("entries.moveNone") : say("entries.moveMany", { n: picked.length })}
              </button>
              <button type="button" class="do" onClick={() => setChosen(null)}>
                {say("entries.leave")}
              </button>
            </div>
          </div>
        </>
      )}
      <ol class={chosen ? "entries choosing" : "entries"}>
        {list.entries.map((e, i) => (
          <li key={e.ref} class={e.undone ? "undone" : ""}>
            {chosen === null ? (
              <>
                <EntryGlyph of={e} />
                <Line e={e} view={view} person={(of ?? view.own).person} step={list.steps[i] ?? "phone"} />
                <button type="button" class="do" disabled={busy} onClick={() => run(() => turn(e))}>
                  {say(e.undone ? "entries.back" : "phone.undo")}
                </button>
              </>
            ) : (
              <label class="tick">
                <input type="checkbox" disabled={!canMove(e)} checked={chosen.includes(e.ref)} onChange={() => toggle(e)} />
                <EntryGlyph of={e} />
                <Line e={e} view={view} person={(of ?? view.own).person} step={list.steps[i] ?? "phone"} />
              </label>
            )}
          </li>
        ))}
      </ol>
      {most === listed && list.entries.length === listed ? (
        <button type="button" class="do" onClick={() => setMost(listedMore)}>
          {say("entries.older")}
        </button>
      ) : null}
    </Dialog>
  );
}

/** One entry; whose it is where that is not who is looked at now. */
function Line({ e, view, person, step }: { e: Entry; view: View; person: string; step: Step }): JSX.Element {
  return (
    <span class="entry-words">
      <span class="word">{entryWords(e, view, true)}</span>
      <span class="when">
        <time>{clockSeconds(e.atMs)}</time>
        {e.person !== person ? <span>{e.person}</span> : null}
        {e.undone ? <span>{say("entries.undone")}</span> : <StepMark step={step} />}
        {e.moved ? <span>{say("entries.moved")}</span> : null}
        {e.opening ? <span>{say("entries.opening")}</span> : null}
        {e.late ? <span>{say("entries.late")}</span> : null}
      </span>
    </span>
  );
}
