// Tables of the office: a heading, columns with their units, figures that line
// up, and a double rule where the table ends.
import type { ComponentChildren, JSX } from "preact";
import { useId } from "preact/hooks";
import type { Figure as FigureName, Ref } from "../../bridge/protocol.gen";
import type { Room } from "../parts/room";
import { say, type Under } from "../parts/say";
import { SizeGlyph } from "../parts/strokes";
import { Figure } from "../parts/where";

export interface Column {
  head: ComponentChildren;
  unit?: string;
  words?: boolean; // its cells hold words, not figures
}

interface TableProps {
  title: string;
  note?: string; // what the figures are, or why there are none
  columns: readonly Column[];
  empty: boolean;
  children: ComponentChildren;
}

export function Table({ title, note, columns, empty, children }: TableProps): JSX.Element {
  const id = useId();
  return (
    <section class="o-card">
      <h2 id={id}>{title}</h2>
      {note && <p class="quiet">{note}</p>}
      {!empty && (
        // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reached with keys
        <section class="o-wide" aria-labelledby={id} tabIndex={0}>
          <table class="o-table">
            <thead>
              <tr>
                {columns.map((c, i) => (
                  <th key={i} scope="col" class={c.words ? "o-words" : ""}>
                    {c.head}
                    {c.unit && <span class="o-unit">{c.unit}</span>}
                  </th>
                ))}
              </tr>
            </thead>
            <tbody>{children}</tbody>
          </table>
        </section>
      )}
    </section>
  );
}

/** The columns of the four sizes. */
export const sizeColumns: readonly Column[] = [1, 2, 3, 4].map((size) => ({
  head: (
    <>
      <SizeGlyph size={size} />
      <span class="off">{say(`office.hairs-${size}` as Under<"office.hairs-">)}</span>
    </>
  ),
}));

interface CellProps {
  room: Room;
  of: FigureName;
  at?: Ref;
  size?: number;
  strong?: boolean;
  past?: boolean; // past a limit of the patient
  children: string;
}

/** A figure in a table that says where it comes from. */
export function Cell({ strong = false, past = false, ...figure }: CellProps): JSX.Element {
  return (
    <td class={`${strong ? "o-strong" : ""}${past ? " o-limit" : ""}`}>
      <Figure {...figure} />
    </td>
  );
}
