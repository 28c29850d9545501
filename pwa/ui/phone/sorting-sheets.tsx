// What a sorter opens: rejects with a reason, and many at once.
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { Fact, Ref, View } from "../../bridge/protocol.gen";
import { say, type Under } from "../parts/say";
import { SizeGlyph } from "../parts/strokes";
import { dishName } from "./dish";
import { LateBox } from "./late";
import { ManySheet, type Thing } from "./many";
import { RejectSheet } from "./reject-sheet";

/** A row for each unit size. */
const sizeThings = (): Thing[] =>
  [1, 2, 3, 4].map((size) => ({ id: String(size), name: say(`size.${size}` as Under<"size.">), mark: <SizeGlyph size={size} /> }));

interface SheetProps {
  view: View;
  tap: (fact: Fact, late?: boolean) => Promise<boolean>;
  onClose: () => void;
}

/** A reject at the microscope: from the bench, or from a dish. */
export function RejectSorting({ view, tap, onClose }: SheetProps): JSX.Element {
  const [from, setFrom] = useState<Ref>("");
  const [late, setLate] = useState(false);
  const open = view.dishes.filter((d) => !d.closed);
  const dish = open.find((d) => d.ref === from);
  return (
    <RejectSheet
      title={say("sorting.reject")}
      onReason={(reason) =>
        tap(
          dish
            ? { kind: "rejected", from: "holding", size: dish.size, reason, n: 1, dish: dish.ref }
            : { kind: "rejected", from: "bench", reason, n: 1 },
          late,
        )
      }
      onClose={onClose}
    >
      {open.length > 0 ? (
        <label class="field">
          <span>{say("sorting.lies")}</span>
          <select value={from} onChange={(e) => setFrom(e.currentTarget.value)}>
            <option value="">{say("sorting.onBench")}</option>
            {open.map((d) => (
              <option key={d.ref} value={d.ref}>
                {dishName(d)}
              </option>
            ))}
          </select>
        </label>
      ) : null}
      <LateBox view={view} stocks={["bench", "holding", "dish"]} late={late} onLate={setLate} />
    </RejectSheet>
  );
}

interface ManyProps extends SheetProps {
  of: (size: number, n: number) => Fact;
}

/** Several of one size at once. */
export function ManySizes({ view, of, tap, onClose }: ManyProps): JSX.Element {
  return (
    <ManySheet
      title={say("phone.many")}
      view={view}
      things={sizeThings()}
      stocks={["bench", "holding", "dish", "sites"]}
      onMany={(id, n, late) => tap(of(Number(id), n), late)}
      onClose={onClose}
    />
  );
}
