// Sorting: four corners that are found without looking.
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { Fact, View } from "../../bridge/protocol.gen";
import { Told } from "../parts/dialog";
import { Pad } from "../parts/pad";
import { count, list, say, sayFault, type Under } from "../parts/say";
import { Still } from "../parts/still";
import { Glyph } from "../parts/strokes";
import { type Fills, useFills } from "./chosen";
import { FillSheet, ManySizes, RejectSorting, SplitSheet, StandSheet } from "./later";
import { MixWords, PaceWords } from "./line";
import type { StationProps } from "./phone-app";
import { SizePad } from "./size-pad";
import { Long, Station, toTake } from "./station";

const sizes = [1, 2, 3, 4] as const;

/** The station at the microscope. */
export function SortingScreen({ room, shown, view }: StationProps): JSX.Element {
  const [sheet, setSheet] = useState<"" | "reject" | "split" | "many" | "fill" | "stand">("");
  const [wrong, setWrong] = useState("");
  const own = view.own.tally;
  const fills = useFills(view);
  const tap = async (fact: Fact, late = false): Promise<boolean> => {
    const { fault } = await room.tap(fact, late);
    setWrong(fault ? sayFault(fault) : "");
    return fault === null;
  };
  const close = (): void => setSheet("");
  const sorted = (size: number, n: number): Fact => ({ kind: "sorted", size, n, dish: fills.of(size)?.ref ?? "" });
  const short = Math.min(0, view.mix.known ? (view.mix.over[0] ?? 0) : 0);
  const where = (
    <nav class="where" aria-label={say("phone.where")}>
      <button type="button" onClick={() => setSheet("fill")}>
        <span>{fillWords(fills)}</span>
      </button>
      <button type="button" class="fixed" onClick={() => setSheet("stand")}>
        <span>
          {say("sorting.bench", { n: view.ledger.bench })}
          {short < 0 ? <span class="tight instead">{say("line.shortOnly", { n: Math.abs(short) })}</span> : null}
        </span>
      </button>
    </nav>
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
        line={
          <Still of={[view.mix, view.pace]}>
            {() => (
              <>
                <MixWords room={room} mix={view.mix} />
                <PaceWords room={room} view={view} station="sorting" />
              </>
            )}
          </Still>
        }
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
              <Pad
                key={size}
                id={String(size)}
                name={say(`size.${size}` as Under<"size.">)}
                label={say(`size.${size}` as Under<"size.">)}
                tone={size - 1}
                counted={own.sorted[size - 1] ?? 0}
                fact={sorted(size, 1)}
                onCount={tap}
              >
                <SizePad size={size} counted={(v) => v.own.tally.sorted[size - 1] ?? 0} note={padNote(view, fills, size)} />
              </Pad>
            ))}
          </div>
        </section>
        {wrong ? <p class="said">{wrong}</p> : null}
        {sheet === "reject" ? <RejectSorting view={view} tap={tap} onClose={close} /> : null}
        {sheet === "split" ? <SplitSheet view={view} fills={fills} tap={tap} onClose={close} /> : null}
        {sheet === "many" ? <ManySizes view={view} of={sorted} tap={tap} onClose={close} /> : null}
        {sheet === "fill" ? <FillSheet room={room} view={view} fills={fills} onClose={close} /> : null}
        {sheet === "stand" ? <StandSheet room={room} view={view} onClose={close} /> : null}
      </Station>
    </Told.Provider>
  );
}

/** The dishes that fill, by size and each once. */
function fillWords(fills: Fills): string {
  const labels = [...new Set(sizes.flatMap((size) => fills.of(size)?.label ?? []))];
  if (labels.length === 0) return say("fill.none");
  return labels.length === 1 ? say("fill.one", { label: labels[0] ?? "" }) : say("fill.some", { labels: list(labels) });
}

function padNote(view: View, fills: Fills, size: number): string {
  const dish = fills.of(size);
  return dish ? say("fill.pad", { label: dish.label }) : say("sorting.heldSize", { n: view.ledger.holding[size - 1] ?? 0 });
}
