// How long grafts are out of the body.
import "../parts/lead-words";
import type { JSX } from "preact";
import { keptWords } from "../parts/keeping";
import { say } from "../parts/say";
import { levelWord, notesOf, rowsOf } from "../parts/time-out";
import { Cell, Table } from "./table";
import type { TableOf } from "./tables";

const words = true;

export function TimeOutTable({ room, view }: TableOf): JSX.Element {
  const rows = rowsOf(view);
  const columns = [
    { head: say("out.title"), words },
    { head: say("office.long") },
    { head: say("office.beside"), words },
    { head: say("office.state"), words },
  ];
  return (
    <Table title={say("out.title")} note={[...keptWords(view), ...notesOf(view)].join(" ")} columns={columns} empty={rows.length === 0}>
      {rows.map((r) => (
        <tr key={r.name}>
          <th scope="row">{r.name}</th>
          <Cell room={room} of={r.of} strong past={r.level === "red"}>
            {r.time}
          </Cell>
          <td class="o-words">{r.note}</td>
          <td class="o-words">{levelWord(r)}</td>
        </tr>
      ))}
    </Table>
  );
}
