// One entry: its stroke, its words, how far it has come; and the list of a phone's.
import type { JSX } from "preact";
import { useEffect, useState } from "preact/hooks";
import type { Step } from "../../bridge/messages";
import type { Entry, Phone, View } from "../../bridge/protocol.gen";
import { Dialog } from "../parts/dialog";
import type { Room } from "../parts/room";
import { clockSeconds, count, type Key, say, sayFault } from "../parts/say";
import { Glyph, SizeGlyph, type Stroke } from "../parts/strokes";

const outcomeGlyph: Record<string, Stroke> = {
  intact: "intact",
  partial: "partial",
  total: "total",
  topped: "topped",
  buried: "buried",
  empty: "empty",
};
const kindGlyph: Record<string, Stroke> = {
  rejected: "reject",
  split: "split",
  sites: "site",
  "sites closed": "site",
  "came back": "undo",
  fired: "attempt",
  reading: "recount",
  retrieved: "loose",
};

export function EntryGlyph({ of }: { of: Entry }): JSX.Element {
  if ((of.kind === "sorted" || of.kind === "placed") && of.size > 0) return <SizeGlyph size={of.size} />;
  return <Glyph of={kindGlyph[of.kind] ?? outcomeGlyph[of.outcome] ?? "held"} />;
}

/** What was counted, and where; the kind too where the station does not say it. */
export function entryWords(e: Entry, view: View, kindToo = false): string {
  const place = view.zones.find((z) => z.ref === e.place)?.name ?? view.regions.find((r) => r.ref === e.place)?.code ?? "";
  const what =
    e.kind === "attempt" ? say(`outcome.${e.outcome}` as Key) : e.size > 0 ? say(`size.${e.size}` as Key) : say(`entry.${e.kind}` as Key);
  const words =
    e.size > 0 && (kindToo || (e.kind !== "sorted" && e.kind !== "placed")) ? `${say(`entry.${e.kind}` as Key)}, ${what}` : what;
  return [e.n > 1 || e.kind === "reading" ? `${count(e.n)} ${words}` : words, place].filter(Boolean).join(", ");
}

/** How far an entry has come: a stroke that is solid once the room has it, and words; fewer where there is little room. */
export function StepMark({ step, short = false }: { step: Step; short?: boolean }): JSX.Element {
  return (
    <span class={`step in-${step}`}>
      <svg viewBox="0 0 8 18" aria-hidden="true">
        <path d="M1.5 3.8L6.5 1V17H1.5Z" />
      </svg>
      {short ? <span aria-hidden="true">{say(`stepShort.${step}`)}</span> : say(`step.${step}`)}
      {short ? <span class="off">{say(`step.${step}`)}</span> : null}
    </span>
  );
}

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
