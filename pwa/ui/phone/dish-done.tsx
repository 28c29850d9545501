// The end of a dish in one act: what lay in it was placed, rejected, or came
// back into the holding.
import "./rare-words";
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { Dish, Reason, View } from "../../bridge/protocol.gen";
import { useBusy } from "../parts/busy";
import { Dialog, wholeNumber } from "../parts/dialog";
import type { Room } from "../parts/room";
import { count, say, sayFault, type Under } from "../parts/say";
import { SizeGlyph } from "../parts/strokes";
import { useChosen } from "./chosen";
import { dishName, sizes, sizesWord } from "./dish";
import { LateBox } from "./late";
import { reasons } from "./reject-sheet";

type Part = "placed" | "rejected" | "returned";
type Row = Record<Part, string> & { byHand: boolean }; // byHand: placed was typed, and is left as it is

const parts: readonly Part[] = ["placed", "rejected", "returned"];

/** Whether what is laid apart is not what the tallies have in the dish. */
function unlike(inIt: number, row: Row): boolean {
  const all = parts.reduce((sum, part) => sum + (wholeNumber(row[part]) ?? 0), 0);
  return all !== inIt;
}

/** What is left to place when some of a dish is laid aside: it fills a field in, and the person says whether it is so. */
function rest(inIt: number, row: Row): string {
  const aside = (wholeNumber(row.rejected) ?? 0) + (wholeNumber(row.returned) ?? 0);
  return String(Math.max(0, inIt - aside));
}

interface DoneProps {
  room: Room;
  view: View;
  dish: Dish; // as it was when the form was opened
  onClose: () => void;
}

/** The form, filled in with all of the dish as placed. It stays when the dish is closed meanwhile, and says so. */
export function DishDone({ room, view, dish: opened, onClose }: DoneProps): JSX.Element {
  const [busy, run] = useBusy();
  const listed = view.dishes.find((d) => d.ref === opened.ref);
  const gone = !busy && (listed === undefined || listed.closed);
  const dish = listed ?? opened;
  const inIt = (size: number): number => Math.max(0, dish.in[size - 1] ?? 0);
  const [rows, setRows] = useState<Row[]>(() => sizes.map((s) => ({ placed: String(inIt(s)), rejected: "", returned: "", byHand: false })));
  const [zone, setZone] = useChosen(
    view,
    "zone",
    view.zones.map((z) => z.ref),
  );
  const [reason, setReason] = useState<Reason>("");
  const [late, setLate] = useState(false);
  const [wrong, setWrong] = useState("");
  const [sure, setSure] = useState(false); // that it is not what the tallies have in it
  const shown = sizes.filter((s) => dish.size === 0 || dish.size === s || inIt(s) > 0);
  const type = (size: number, part: Part, text: string): void => {
    setSure(false);
    setRows((now) =>
      now.map((row, i) => {
        if (i !== size - 1) return row;
        const next = { ...row, [part]: text, byHand: row.byHand || part === "placed" };
        return next.byHand ? next : { ...next, placed: rest(inIt(size), next) };
      }),
    );
  };
  const numbers = (part: Part): (number | null)[] => rows.map((row) => (row[part].trim() === "" ? 0 : wholeNumber(row[part])));
  const some = (part: Part): boolean => numbers(part).some((n) => n !== 0);
  const done = async (): Promise<void> => {
    const [placed, rejected, returned] = parts.map(numbers).map((list) => (list.includes(null) ? null : (list as number[])));
    if (!placed || !rejected || !returned) {
      setWrong(say("dish.numberWrong"));
      return;
    }
    if (some("rejected") && reason === "") {
      setWrong(say("dish.reasonWrong"));
      return;
    }
    if (!sure && rows.some((row, i) => unlike(dish.in[i] ?? 0, row))) {
      setSure(true);
      setWrong("");
      return;
    }
    const why: Reason = some("rejected") ? reason : "";
    const { fault } = await room.tap(
      { kind: "dish done", dish: dish.ref, zone: some("placed") ? zone : "", reason: why, placed, rejected, returned },
      late,
    );
    if (fault) setWrong(sayFault(fault));
    else onClose();
  };
  return (
    <Dialog title={say("dish.doneTitle", { dish: dishName(dish) })} onClose={onClose}>
      {gone ? (
        <p class="warn" role="alert">
          {say("dish.goneMeanwhile")}
        </p>
      ) : null}
      {wrong ? (
        <p class="wrong" role="alert">
          {wrong}
        </p>
      ) : null}
      <label class="field">
        <span>{say("dish.zone")}</span>
        <select value={zone} onChange={(e) => setZone(e.currentTarget.value)}>
          {view.zones.map((z) => (
            <option key={z.ref} value={z.ref}>
              {z.name}
            </option>
          ))}
        </select>
      </label>
      <table class="parts">
        <thead>
          <tr>
            <th scope="col">{say("dish.inIt")}</th>
            {parts.map((part) => (
              <th scope="col" key={part}>
                {say(`dish.${part}`)}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {shown.map((s) => (
            <tr key={s}>
              <th scope="row">
                <span class="init">
                  <SizeGlyph size={s} />
                  <span class="off">{sizesWord(s)}</span>
                  {count(dish.in[s - 1] ?? 0)}
                </span>
              </th>
              {parts.map((part) => (
                <td key={part} class="field">
                  <input
                    inputMode="numeric"
                    autoComplete="off"
                    aria-label={`${sizesWord(s)}, ${say(`dish.${part}`)}`}
                    placeholder="0"
                    value={rows[s - 1]?.[part] ?? ""}
                    onFocus={(e) => e.currentTarget.select()}
                    onInput={(e) => type(s, part, e.currentTarget.value)}
                  />
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
      {some("rejected") ? (
        <label class="field">
          <span>{say("dish.reason")}</span>
          <select value={reason} onChange={(e) => setReason(e.currentTarget.value as Reason)}>
            <option value="">{say("dish.reasonNone")}</option>
            {reasons.map((r) => (
              <option key={r} value={r}>
                {say(`reason.${r}` as Under<"reason.">)}
              </option>
            ))}
          </select>
        </label>
      ) : null}
      <LateBox view={view} stocks={["holding", "dish", "sites"]} late={late} onLate={setLate} />
      {sure ? (
        <p class="warn" role="alert">
          {say("dish.unlike")}
        </p>
      ) : null}
      <button type="button" class="do first" disabled={busy || gone} onClick={() => run(done)}>
        {say(sure ? "dish.doneStill" : "dish.done")}
      </button>
      <p class="quiet">{say("dish.doneWhy")}</p>
    </Dialog>
  );
}
