// What a desk says of the room: notes, pauses, who takes over.
import "./rare-words";
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { Fact } from "../../bridge/protocol.gen";
import { useBusy } from "../parts/busy";
import { Dialog } from "../parts/dialog";
import { say } from "../parts/say";

interface SheetProps {
  tap: (fact: Fact) => Promise<string>; // answers with what went wrong, "" when it is kept
  onClose: () => void;
}

interface TextProps extends SheetProps {
  title: string;
  label: string;
  lines?: number;
  does: string;
  none: string; // what is said when nothing was written
  fact: (text: string) => Fact;
}

function TextSheet({ tap, onClose, title, label, lines = 1, does, none, fact }: TextProps): JSX.Element {
  const [text, setText] = useState("");
  const [wrong, setWrong] = useState("");
  const [busy, run] = useBusy();
  const keep = async (): Promise<void> => {
    const why = text.trim() === "" ? none : await tap(fact(text.trim()));
    if (why) setWrong(why);
    else onClose();
  };
  return (
    <Dialog title={title} onClose={onClose}>
      <label class="field">
        <span>{label}</span>
        <textarea rows={lines} maxLength={500} value={text} aria-invalid={wrong !== ""} onInput={(e) => setText(e.currentTarget.value)} />
        {wrong ? (
          <span class="wrong" role="alert">
            {wrong}
          </span>
        ) : null}
      </label>
      <button type="button" class="do first" disabled={busy} onClick={() => run(keep)}>
        {does}
      </button>
    </Dialog>
  );
}

/** A note for the sheet. */
export function NoteSheet(props: SheetProps): JSX.Element {
  return (
    <TextSheet
      {...props}
      title={say("desk.note")}
      label={say("desk.noteFor")}
      lines={3}
      does={say("phone.keepNote")}
      none={say("desk.noteNone")}
      fact={(text) => ({ kind: "note", text })}
    />
  );
}

/** A pause of the room or of the desk, and its end. */
export function PauseSheet({ tap, onClose }: SheetProps): JSX.Element {
  const [reason, setReason] = useState("");
  const [wrong, setWrong] = useState("");
  const [busy, run] = useBusy();
  const act = async (fact: Fact): Promise<void> => {
    const why = await tap(fact);
    if (why) setWrong(why);
    else onClose();
  };
  return (
    <Dialog title={say("desk.pause")} onClose={onClose}>
      <label class="field">
        <span>{say("desk.pauseWhy")}</span>
        <input value={reason} maxLength={500} autoComplete="off" onInput={(e) => setReason(e.currentTarget.value)} />
        {wrong ? (
          <span class="wrong" role="alert">
            {wrong}
          </span>
        ) : null}
      </label>
      <div class="acts">
        <button
          type="button"
          class="do first"
          disabled={busy}
          onClick={() => run(() => act({ kind: "paused", room: true, reason: reason.trim() }))}
        >
          {say("desk.pauseRoom")}
        </button>
        <button type="button" class="do" disabled={busy} onClick={() => run(() => act({ kind: "resumed", room: true }))}>
          {say("desk.resumeRoom")}
        </button>
        <button type="button" class="do" disabled={busy} onClick={() => run(() => act({ kind: "paused", reason: reason.trim() }))}>
          {say("desk.pauseDesk")}
        </button>
        <button type="button" class="do" disabled={busy} onClick={() => run(() => act({ kind: "resumed" }))}>
          {say("desk.resumeDesk")}
        </button>
      </div>
      <p class="quiet">{say("desk.pausePace")}</p>
    </Dialog>
  );
}
