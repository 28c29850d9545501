// Sorting: four corners that are found without looking.
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { Fact, Reason } from "../../bridge/protocol.gen";
import { Dialog, NumberField, Told, wholeNumber } from "../parts/dialog";
import { Pad } from "../parts/pad";
import { count, type Key, say, sayFault } from "../parts/say";
import { Glyph, SizeGlyph } from "../parts/strokes";
import type { StationProps } from "./phone-app";
import { Long, Station, toTake } from "./station";

const sizes = [1, 2, 3, 4] as const;
export const reasons: readonly Reason[] = ["cut", "no hair", "damaged", "dried", "lost", "surplus", "other"];

/** The station at the microscope. */
export function SortingScreen({ room, shown, view }: StationProps): JSX.Element {
  const [sheet, setSheet] = useState<"" | "reject" | "split" | "many">("");
  const [wrong, setWrong] = useState("");
  const own = view.own.tally;
  const tap = async (fact: Fact): Promise<boolean> => {
    const { fault } = await room.tap(fact);
    setWrong(fault ? sayFault(fault) : "");
    return fault === null;
  };
  const close = (): void => setSheet("");
  const where = (
    <p class="where facts">
      <span>{say("sorting.bench", { n: view.ledger.bench })}</span>
      <span>{say("sorting.held", { n: view.ledger.holdingTotal })}</span>
    </p>
  );
  return (
    <Told.Provider value={wrong}>
      <Station
        room={room}
        shown={shown}
        view={view}
        station="station.sorting"
        where={where}
        own={<Long words={say("sorting.own")} more={say("sorting.ownMore", { n: view.own.rejects })} />}
        figure={toTake(view)}
      >
        <section class="pads" style="grid-template-rows: auto 1fr" aria-label={say("phone.count")}>
          <div class="three">
            <button type="button" class="pad2" onClick={() => setSheet("reject")}>
              <span class="top">
                <Glyph of="reject" />
                <b>{count(own.rejectedBench)}</b>
              </span>
              {say("sorting.reject")}
            </button>
            <button type="button" class="pad2" onClick={() => setSheet("split")}>
              <span class="top">
                <Glyph of="split" />
                <b>{count(own.split)}</b>
              </span>
              {say("sorting.split")}
            </button>
            <button type="button" class="pad2" onClick={() => setSheet("many")}>
              <span class="top">
                <Glyph of="more" />
              </span>
              {say("phone.many")}
            </button>
          </div>
          <div class="four-up">
            {sizes.map((size) => (
              <Pad key={size} label={say(`size.${size}` as Key)} onCount={() => void tap({ kind: "sorted", size, n: 1 })}>
                <SizeGlyph size={size} />
                <span class="pair">
                  <span>{size === 4 ? "4+" : size}</span>
                  <span class="figure">{count(own.sorted[size - 1] ?? 0)}</span>
                </span>
                <span class="note">{say("sorting.heldSize", { n: view.ledger.holding[size - 1] ?? 0 })}</span>
              </Pad>
            ))}
          </div>
        </section>
        {wrong ? <p class="said">{wrong}</p> : null}
        {sheet === "reject" ? (
          <RejectSheet
            title={say("sorting.reject")}
            onReason={(reason) => tap({ kind: "rejected", from: "bench", reason, n: 1 })}
            onClose={close}
          />
        ) : null}
        {sheet === "split" ? <SplitSheet tap={tap} onClose={close} /> : null}
        {sheet === "many" ? <ManySheet onMany={(size, n) => tap({ kind: "sorted", size, n })} onClose={close} /> : null}
      </Station>
    </Told.Provider>
  );
}

/** Why grafts are rejected: one touch, one graft. */
export function RejectSheet({
  title,
  onReason,
  onClose,
}: {
  title: string;
  onReason: (r: Reason) => Promise<boolean>;
  onClose: () => void;
}): JSX.Element {
  return (
    <Dialog title={title} onClose={onClose}>
      <ul class="choices">
        {reasons.map((r) => (
          <li key={r}>
            <button type="button" onClick={() => void onReason(r).then((ok) => ok && onClose())}>
              {say(`reason.${r}` as Key)}
            </button>
          </li>
        ))}
      </ul>
    </Dialog>
  );
}

const splits: readonly { size: number; pieces: number[] }[] = [
  { size: 2, pieces: [1, 1] },
  { size: 3, pieces: [1, 2] },
  { size: 3, pieces: [1, 1, 1] },
  { size: 4, pieces: [2, 2] },
  { size: 4, pieces: [1, 3] },
  { size: 4, pieces: [1, 1, 2] },
];

function SplitSheet({ tap, onClose }: { tap: (f: Fact) => Promise<boolean>; onClose: () => void }): JSX.Element {
  const [from, setFrom] = useState<"bench" | "holding">("bench");
  return (
    <Dialog title={say("sorting.split")} onClose={onClose}>
      <fieldset class="modes">
        <legend>{say("sorting.splitFrom")}</legend>
        {(["bench", "holding"] as const).map((f) => (
          <label key={f} class={f === from ? "on" : ""}>
            <input type="radio" name="from" checked={f === from} onChange={() => setFrom(f)} />
            {say(`stock.${f}` as Key)}
          </label>
        ))}
      </fieldset>
      <ul class="choices">
        {splits.map((s) => (
          <li key={`${s.size}-${s.pieces.join("")}`}>
            <button
              type="button"
              onClick={() => void tap({ kind: "split", from, size: s.size, pieces: s.pieces, n: 1 }).then((ok) => ok && onClose())}
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

/** Several of one size at once. */
export function ManySheet({
  onMany,
  onClose,
}: {
  onMany: (size: number, n: number) => Promise<boolean>;
  onClose: () => void;
}): JSX.Element {
  const [n, setN] = useState("");
  const [wrong, setWrong] = useState("");
  const add = async (size: number): Promise<void> => {
    const number = wholeNumber(n);
    if (number === null) setWrong(say("phone.numberWrong"));
    else if (await onMany(size, number)) onClose();
  };
  return (
    <Dialog title={say("phone.many")} onClose={onClose}>
      <NumberField label={say("phone.number")} error={wrong} value={n} onInput={setN} />
      <div class="acts">
        {sizes.map((size) => (
          <button type="button" class="do" key={size} onClick={() => void add(size)}>
            {say("phone.addSize", { size: size === 4 ? "4+" : size })}
          </button>
        ))}
      </div>
    </Dialog>
  );
}
