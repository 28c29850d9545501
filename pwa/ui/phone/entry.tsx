// The list of a phone's entries.
import type { JSX } from "preact";
import { useEffect, useState } from "preact/hooks";
import type { Step } from "../../bridge/messages";
import type { Entry, Phone, View } from "../../bridge/protocol.gen";
import { Dialog } from "../parts/dialog";
import { EntryGlyph, entryWords, StepMark } from "../parts/entry";
import type { Room } from "../parts/room";
import { clockSeconds, say, sayFault } from "../parts/say";

const listed = 60;

interface ListProps {
  room: Room;
  view: View;
  of: Phone | null; // whose; null for this phone's own
  onClose: () => void;
}

/** The sheet of a phone's entries, newest first, each with its undo or its way back. It follows what the room gets. */
export function EntryList({ room, view, of, onClose }: ListProps): JSX.Element {
  const [list, setList] = useState<{ entries: Entry[]; steps: Step[] }>({ entries: [], steps: [] });
  const [wrong, setWrong] = useState("");
  const { truth, view: now } = room.shown;
  useEffect(() => {
    if (truth) void room.entries(listed, of?.replica ?? "").then((got) => got && setList(got)); // once more whenever there is more
  }, [room, truth, now, of]);
  const turn = async (e: Entry): Promise<void> => {
    const { fault } = await room.tap(e.undone ? { kind: "restore", target: e.ref } : { kind: "void", target: e.ref });
    setWrong(fault ? sayFault(fault) : "");
  };
  return (
    <Dialog title={of ? say("entries.of", { person: of.person }) : say("entries.title")} onClose={onClose}>
      {list.entries.length === 0 ? <p class="quiet">{say("phone.nothingYet")}</p> : null}
      {wrong ? <p class="wrong">{wrong}</p> : null}
      <ol class="entries">
        {list.entries.map((e, i) => (
          <li key={e.ref} class={e.undone ? "undone" : ""}>
            <EntryGlyph of={e} />
            <div>
              <span class="word">{entryWords(e, view, true)}</span>
              <span class="when">
                <time>{clockSeconds(e.atMs)}</time>
                {e.undone ? <span>{say("entries.undone")}</span> : <StepMark step={list.steps[i] ?? "phone"} />}
              </span>
            </div>
            <button type="button" class="do" onClick={() => void turn(e)}>
              {say(e.undone ? "entries.back" : "phone.undo")}
            </button>
          </li>
        ))}
      </ol>
    </Dialog>
  );
}
