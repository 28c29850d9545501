// Sessions as rows: what they are, how far, and their sheets.
import type { JSX } from "preact";
import { clock, dayOf, say } from "../parts/say";
import { Glyph } from "../parts/strokes";
import { type SessionRow, type SheetKind, saveSheet, wordsOf } from "./api";
import { nameOf } from "./names";

interface TableProps {
  token: string;
  rows: SessionRow[];
  caption: string;
  onProblem: (words: string) => void;
  onOpen: (row: SessionRow) => void;
}

export function SessionTable({ token, rows, caption, onProblem, onOpen }: TableProps): JSX.Element {
  return (
    <table class="o-rooms">
      <caption class="off">{caption}</caption>
      <thead>
        <tr>
          <th scope="col">{say("office.room")}</th>
          <th scope="col">{say("office.case")}</th>
          <th scope="col">{say("office.state")}</th>
          <th scope="col">{say("office.sheet")}</th>
          <th scope="col">
            <span class="off">{say("office.open")}</span>
          </th>
        </tr>
      </thead>
      <tbody>
        {rows.map((r) => (
          <Row key={r.session} token={token} row={r} onProblem={onProblem} onOpen={onOpen} />
        ))}
      </tbody>
    </table>
  );
}

function Row({
  token,
  row: r,
  onProblem,
  onOpen,
}: { token: string; row: SessionRow } & Pick<TableProps, "onProblem" | "onOpen">): JSX.Element {
  const what = nameOf(r.room, r.case);
  return (
    <tr>
      <th scope="row">{r.room}</th>
      <td>
        {r.case || say("office.no-case")} {r.practice && <PracticeMark />}
      </td>
      <td>
        <State row={r} />
      </td>
      <td>{r.openedMs > 0 && <Sheets token={token} session={r.session} of={what} onProblem={onProblem} />}</td>
      <td>
        <button type="button" class="do" aria-label={say("office.open-what", { what })} onClick={() => onOpen(r)}>
          {say("office.open")}
        </button>
      </td>
    </tr>
  );
}

export function PracticeMark(): JSX.Element {
  return <b class="o-practice">{say("office.practice")}</b>;
}

function State({ row: r }: { row: SessionRow }): JSX.Element {
  if (r.openedMs === 0) {
    return (
      <span class="o-asks">
        <Glyph of="ask" />
        {say("office.unopened", { time: clock(r.createdMs) })}
      </span>
    );
  }
  const day = r.practice || new Date(r.openedMs).toDateString() === new Date().toDateString() ? "" : `${dayOf(r.openedMs)}, `;
  if (r.endedMs > 0) {
    return (
      <span>
        <Glyph of="seal" />
        {day}
        {say("office.ended", { from: clock(r.openedMs), to: clock(r.endedMs) })}
      </span>
    );
  }
  return (
    <span class="o-kept">
      <Glyph of="inroom" />
      {day}
      {say("office.running", { time: clock(r.openedMs) })}
    </span>
  );
}

const kinds: readonly [SheetKind, string][] = [
  ["csv", "CSV"],
  ["jsonl", "JSON Lines"],
];

interface SheetsProps {
  token: string;
  session: string;
  of: string;
  onProblem: (words: string) => void;
}

/** The downloads of a session's sheet. */
export function Sheets({ token, session, of, onProblem }: SheetsProps): JSX.Element {
  const save = (kind: SheetKind): void => {
    saveSheet(token, session, kind).then(
      () => onProblem(""),
      (error: unknown) => onProblem(wordsOf(error)),
    );
  };
  return (
    <span class="o-sheets">
      {kinds.map(([kind, name]) => (
        <button
          key={kind}
          type="button"
          class="o-link"
          aria-label={say("office.save", { kind: name, what: of })}
          onClick={() => save(kind)}
        >
          {name}
        </button>
      ))}
    </span>
  );
}
