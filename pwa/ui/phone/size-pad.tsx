// What stands on the pad of a unit size.
import type { JSX } from "preact";
import type { View } from "../../bridge/protocol.gen";
import { AtOnce } from "../parts/at-once";
import { Still } from "../parts/still";
import { SizeGlyph } from "../parts/strokes";

interface SizePadProps {
  size: number;
  counted: (view: View) => number; // by this station
  note: string;
  held?: string; // before the note, what there is of it
  tight?: boolean; // which is too little
}

/** The size, how many were counted, and what else is to be known of it. */
export function SizePad({ size, counted, note, held, tight = false }: SizePadProps): JSX.Element {
  return (
    <Still of={[size, note, held, tight]}>
      {() => (
        <>
          <SizeGlyph size={size} />
          <span class="pair">
            <bdi dir="ltr">{size === 4 ? "4+" : size}</bdi>
            <span class="figure">
              <AtOnce of={counted} />
            </span>
          </span>
          <span class="note">
            {held ? <b class={tight ? "tight" : ""}>{held}</b> : null}
            {note}
          </span>
        </>
      )}
    </Still>
  );
}
