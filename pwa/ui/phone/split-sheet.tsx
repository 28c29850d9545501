// A split: which graft, into what, and in which dish.
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { Fact, Ref, View } from "../../bridge/protocol.gen";
import { useBusy } from "../parts/busy";
import { Dialog } from "../parts/dialog";
import { say, type Under } from "../parts/say";
import { SizeGlyph } from "../parts/strokes";
import type { Fills } from "./chosen";
import { dishName } from "./dish";
import { LateBox } from "./late";

const splits: readonly { size: number; pieces: number[] }[] = [
  { size: 2, pieces: [1, 1] },
  { size: 3, pieces: [1, 2] },
  { size: 3, pieces: [1, 1, 1] },
  { size: 4, pieces: [2, 2] },
  { size: 4, pieces: [1, 3] },
  { size: 4, pieces: [1, 1, 2] },
];

interface SplitProps {
  view: View;
  fills: Fills;
  tap: (f: Fact, late?: boolean) => Promise<boolean>;
  onClose: () => void;
}

/** The splits there are; one touch is one graft. */
export function SplitSheet({ view, fills, tap, onClose }: SplitProps): JSX.Element {
  const [from, setFrom] = useState<"bench" | "holding">("bench");
  const [dish, setDish] = useState<Ref | null>(null); // null: the one that takes all of the pieces, when there is one
  const [late, setLate] = useState(false);
  const [busy, run] = useBusy();
  const open = view.dishes.filter((d) => !d.closed);
  const into = (pieces: readonly number[]): Ref => {
    if (dish !== null) return dish;
    const first = fills.of(pieces[0] ?? 0)?.ref ?? "";
    return pieces.every((p) => (fills.of(p)?.ref ?? "") === first) ? first : "";
  };
  return (
    <Dialog title={say("sorting.split")} onClose={onClose}>
      <fieldset class="modes two">
        <legend>{say("sorting.splitFrom")}</legend>
        {(["bench", "holding"] as const).map((f) => (
          <label key={f} class={f === from ? "on" : ""}>
            <input type="radio" name="from" checked={f === from} onChange={() => setFrom(f)} />
            {say(`stock.${f}` as Under<"stock.">)}
          </label>
        ))}
      </fieldset>
      {open.length > 0 ? (
        <label class="field">
          <span>{say(from === "bench" ? "sorting.piecesInto" : "sorting.splitIn")}</span>
          <select value={dish ?? "fills"} onChange={(e) => setDish(e.currentTarget.value === "fills" ? null : e.currentTarget.value)}>
            <option value="fills">{say("sorting.asChosen")}</option>
            {open.map((d) => (
              <option key={d.ref} value={d.ref}>
                {dishName(d)}
              </option>
            ))}
            <option value="">{say("phone.noDish")}</option>
          </select>
        </label>
      ) : null}
      <LateBox view={view} stocks={["bench", "holding", "dish"]} late={late} onLate={setLate} />
      <ul class="choices">
        {splits.map((s) => (
          <li key={`${s.size}-${s.pieces.join("")}`}>
            <button
              type="button"
              disabled={busy}
              onClick={() =>
                run(() =>
                  tap({ kind: "split", from, size: s.size, pieces: s.pieces, n: 1, dish: into(s.pieces) }, late).then(
                    (ok) => ok && onClose(),
                  ),
                )
              }
            >
              <span class="splits">
                <SizeGlyph size={s.size} />
                {say("sorting.into")}
                {s.pieces.map((p, i) => (
                  <SizeGlyph key={i} size={p} />
                ))}
              </span>
              <span class="quiet">{say("sorting.splitWords", { size: s.size === 4 ? "4+" : s.size, pieces: s.pieces.join(" + ") })}</span>
            </button>
          </li>
        ))}
      </ul>
    </Dialog>
  );
}
