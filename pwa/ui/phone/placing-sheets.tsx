// What a placer opens: a graft that came back, and rejects.
import type { ComponentChildren, JSX } from "preact";
import { useState } from "preact/hooks";
import type { Dish, Fact, View } from "../../bridge/protocol.gen";
import { useBusy } from "../parts/busy";
import { Dialog } from "../parts/dialog";
import { say, type Under } from "../parts/say";
import { SizeGlyph } from "../parts/strokes";
import { dishFor } from "./chosen";
import { LateBox } from "./late";
import { RejectSheet } from "./reject-sheet";

const sizes = [1, 2, 3, 4] as const;

interface SizeProps {
  title: string;
  unknown?: boolean; // the size may be not known: 0
  onSize: (size: number) => Promise<boolean>;
  onClose: () => void;
  children?: ComponentChildren;
}

/** Which unit size. */
function SizeSheet({ title, unknown = false, onSize, onClose, children }: SizeProps): JSX.Element {
  const [busy, run] = useBusy();
  return (
    <Dialog title={title} onClose={onClose}>
      {children}
      <ul class="choices">
        {[...sizes, ...(unknown ? [0] : [])].map((size) => (
          <li key={size}>
            <button type="button" disabled={busy} onClick={() => run(() => onSize(size).then((ok) => ok && onClose()))}>
              {size > 0 ? <SizeGlyph size={size} /> : null}
              {say(`size.${size}` as Under<"size.">)}
            </button>
          </li>
        ))}
      </ul>
    </Dialog>
  );
}

interface ActProps {
  view: View;
  dish: Dish | undefined; // that is taken from
  tap: (f: Fact, late?: boolean) => Promise<boolean>;
  onClose: () => void;
}

/** A graft that popped out lies in holding again. */
export function CameBack({ view, dish, zone, tap, onClose }: ActProps & { zone: string }): JSX.Element {
  const [into, setInto] = useState(dish?.ref ?? "");
  const [late, setLate] = useState(false);
  const open = view.dishes.filter((d) => !d.closed);
  const back = (size: number): Promise<boolean> =>
    tap(
      {
        kind: "came back",
        zone,
        size,
        n: 1,
        dish: dishFor(
          open.find((d) => d.ref === into),
          size,
        ),
      },
      late,
    );
  return (
    <SizeSheet title={say("placing.cameBackWhich")} onSize={back} onClose={onClose}>
      {open.length > 0 ? (
        <label class="field">
          <span>{say("placing.backInto")}</span>
          <select value={into} onChange={(e) => setInto(e.currentTarget.value)}>
            <option value="">{say("phone.noDish")}</option>
            {open.map((d) => (
              <option key={d.ref} value={d.ref}>
                {say("phone.dish", { label: d.label })}
              </option>
            ))}
          </select>
        </label>
      ) : null}
      <LateBox view={view} stocks={["holding", "dish", "sites"]} late={late} onLate={setLate} />
    </SizeSheet>
  );
}

/** A reject in holding: which size, then why. */
export function RejectPlaced({ view, dish, tap, onClose }: ActProps): JSX.Element {
  const [size, setSize] = useState<number | null>(null);
  const [late, setLate] = useState(false);
  if (size === null) {
    return (
      <SizeSheet
        title={say("placing.rejectWhich")}
        unknown
        onClose={onClose}
        onSize={(s) => {
          setSize(s);
          return Promise.resolve(false);
        }}
      />
    );
  }
  return (
    <RejectSheet
      title={say("placing.rejectWhy")}
      onReason={(reason) =>
        tap({ kind: "rejected", from: "holding", size, reason, n: 1, dish: size === 0 ? (dish?.ref ?? "") : dishFor(dish, size) }, late)
      }
      onClose={onClose}
    >
      <LateBox view={view} stocks={["holding", "dish"]} late={late} onLate={setLate} />
    </RejectSheet>
  );
}
