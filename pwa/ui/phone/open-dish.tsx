// A new dish: what its lid says, and what goes into it.
import "./rare-words";
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { Ref, View } from "../../bridge/protocol.gen";
import { useBusy } from "../parts/busy";
import { Dialog } from "../parts/dialog";
import type { Room } from "../parts/room";
import { say, sayFault } from "../parts/say";
import { SizeGlyph } from "../parts/strokes";
import { sizes, sizesWord } from "./dish";

/** The number after the greatest one on a lid. */
function nextLabel(view: View): string {
  const used = view.dishes.map((d) => (/^\d{1,6}$/.test(d.label) ? Number(d.label) : 0));
  return String(Math.max(0, ...used) + 1);
}

interface OpenProps {
  room: Room;
  view: View;
  size?: number;
  onOpened: (ref: Ref) => void;
  onClose: () => void;
}

/** Asks for both, with the next free number filled in. */
export function OpenDish({ room, view, size: first = 0, onOpened, onClose }: OpenProps): JSX.Element {
  const [label, setLabel] = useState(() => nextLabel(view));
  const [size, setSize] = useState(first);
  const [wrong, setWrong] = useState("");
  const [busy, run] = useBusy();
  const open = async (): Promise<void> => {
    const { ref, fault } = await room.tap({ kind: "dish", label: label.trim(), size });
    if (fault) {
      setWrong(sayFault(fault));
      return;
    }
    onOpened(ref);
  };
  return (
    <Dialog title={say("dish.new")} onClose={onClose}>
      <label class="field">
        <span>{say("dish.label")}</span>
        <input
          value={label}
          maxLength={16}
          autoComplete="off"
          aria-invalid={wrong !== ""}
          onInput={(e) => setLabel(e.currentTarget.value)}
        />
        {wrong ? (
          <span class="wrong" role="alert">
            {wrong}
          </span>
        ) : null}
      </label>
      <fieldset class="modes five">
        <legend>{say("dish.of")}</legend>
        {[...sizes, 0].map((s) => (
          <label key={s} class={s === size ? "on" : ""}>
            <input type="radio" name="size" checked={s === size} onChange={() => setSize(s)} />
            {s > 0 ? <SizeGlyph size={s} /> : null}
            <span>{sizesWord(s)}</span>
          </label>
        ))}
      </fieldset>
      <button type="button" class="do first" disabled={busy} onClick={() => run(open)}>
        {say("dish.openIt")}
      </button>
    </Dialog>
  );
}
