// How long grafts are out of the body, against which limits, and how they are kept.
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { Level, View } from "../../bridge/protocol.gen";
import { useBusy } from "../parts/busy";
import { Dialog, NumberField } from "../parts/dialog";
import { duration } from "../parts/duration";
import { type Field, fields, keepingOf, keptWords, owners, typedOf } from "../parts/keeping";
import type { Room } from "../parts/room";
import { say, sayFault } from "../parts/say";
import { Glyph } from "../parts/strokes";
import { levelWord, notesOf, type Row, rowsOf } from "../parts/time-out";
import { Figure } from "../parts/where";
import { Fold } from "./fold";

interface Props {
  room: Room;
  view: View;
}

/** The one line: what is past a limit, else how long the oldest is out. */
function summary(view: View, rows: readonly Row[]): string {
  const past = rows.find((r) => r.level === "red") ?? rows.find((r) => r.level === "amber");
  const { timeOut: o } = view;
  if (past && past.of !== "oldest out") return `${past.name}: ${past.time}`;
  if (o.waiting > 0) return say("outNow.oldest", { time: duration(o.oldestMin) });
  return rows[0] ? `${rows[0].name}: ${rows[0].time}` : (notesOf(view)[0] ?? "");
}

export function TimeOut({ room, view }: Props): JSX.Element {
  const [setting, set] = useState(false);
  const rows = rowsOf(view);
  const past = (level: Level): boolean => rows.some((r) => r.level === level);
  return (
    <Fold title={say("out.title")} says={summary(view, rows)} asks={past("red")} wants={past("amber")}>
      <ul class="paces">
        {rows.map((r) => (
          <TimeRow key={r.name} room={room} of={r} />
        ))}
      </ul>
      {notesOf(view).map((note) => (
        <p key={note} class="quiet small">
          {note}
        </p>
      ))}
      <div class="floor">
        <p>{keptWords(view).join(" ")}</p>
        <button type="button" class="do" onClick={() => set(true)}>
          {say("out.set")}
        </button>
      </div>
      {setting ? <KeepingSheet room={room} view={view} onClose={() => set(false)} /> : null}
    </Fold>
  );
}

function TimeRow({ room, of: r }: { room: Room; of: Row }): JSX.Element {
  return (
    <li>
      <div class="head">
        <h3>{r.name}</h3>
        <Figure room={room} of={r.of} alone>
          {r.time}
        </Figure>
      </div>
      {r.note === "" ? null : <p class="quiet">{r.note}</p>}
      {r.level === "within" ? null : (
        <p class={r.level === "red" ? "limit" : "wants"}>
          <Glyph of={r.level === "red" ? "past" : "ask"} />
          <span>{levelWord(r)}</span>
        </p>
      )}
    </li>
  );
}

function KeepingSheet({ room, view, onClose }: Props & { onClose: () => void }): JSX.Element {
  const [typed, type] = useState(() => typedOf(view));
  const [wrong, setWrong] = useState<Partial<Record<Field | "form", string>>>({});
  const [busy, run] = useBusy();
  const set = async (): Promise<void> => {
    const read = keepingOf(typed, view);
    if ("wrong" in read) {
      setWrong(read.wrong);
      return;
    }
    const { fault } = await room.tap(read.fact);
    if (!fault) onClose();
    else setWrong({ [owners[fault.code] ?? owners[fault.args.field ?? ""] ?? "form"]: sayFault(fault) });
  };
  return (
    <Dialog title={say("out.set")} onClose={onClose}>
      <p>{say("out.why")}</p>
      {fields.map((f) => (
        <NumberField
          key={f}
          label={say(`out.${f}`)}
          error={wrong[f] ?? ""}
          words={f !== "rate"}
          value={typed[f]}
          onInput={(value) => type({ ...typed, [f]: value })}
        />
      ))}
      {wrong.form ? (
        <p class="wrong" role="alert">
          {wrong.form}
        </p>
      ) : null}
      <button type="button" class="do first" disabled={busy} onClick={() => run(set)}>
        {say("out.set")}
      </button>
    </Dialog>
  );
}
