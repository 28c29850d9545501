// Whether the grafts are whole: rates with what they are of, the watch on cut
// grafts, a look and a sample.
import "../parts/quality-words";
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { QualityRow, View, Watched } from "../../bridge/protocol.gen";
import { useBusy } from "../parts/busy";
import { Dialog } from "../parts/dialog";
import {
  ChancesWords,
  Counted,
  type RateName,
  rangeWords,
  rateNames,
  rateWord,
  rowName,
  shareWords,
  type Typed,
  typedOf,
  watchOf,
} from "../parts/rates";
import type { Room } from "../parts/room";
import { clock, say, sayFault, type Under } from "../parts/say";
import { decimalsOf, writeDecimal } from "../parts/units";
import { Figure } from "../parts/where";
import { InspectSheet, LookSheet } from "../phone/later";
import { Fold } from "./fold";

interface Props {
  room: Room;
  view: View;
}

const ways = ["pass", "operator", "region", "setup"] as const;

export function Quality({ room, view }: Props): JSX.Element {
  const [sheet, setSheet] = useState<"" | "look" | "inspect" | "watch">("");
  const [by, setBy] = useState<string>("pass");
  const { rows, watched } = view.quality;
  const all = rows.find((r) => r.by === "all");
  const asks = watched.some((w) => w.asks);
  const some = rows.filter((r) => r.by === by);
  const total = all?.rates.total;
  const says = asks
    ? say("quality.asks")
    : total?.known
      ? say("quality.says", { n: total.n, of: total.of, share: shareWords(total) })
      : say("quality.nothing");
  const close = (): void => setSheet("");
  return (
    <Fold title={say("quality.title")} says={says}>
      {all?.rates.total.known ? <All room={room} row={all} /> : <p class="quiet">{say("quality.begins")}</p>}
      <label class="field">
        <span>{say("quality.by")}</span>
        <select value={by} onChange={(e) => setBy(e.currentTarget.value)}>
          {ways.map((way) => (
            <option key={way} value={way}>
              {say(`quality.by.${way}` as Under<"quality.by.">)}
            </option>
          ))}
        </select>
      </label>
      {some.map((r) => (
        <Some key={`${r.at}${r.name}`} room={room} row={r} />
      ))}
      {some.length === 0 ? <p class="quiet">{say("quality.none")}</p> : null}
      <h3>{say("quality.watch")}</h3>
      {watched.map((w) => (
        <Sum key={w.pass} room={room} of={w} limit={view.quality.h100} />
      ))}
      {watched.length === 0 ? <p class="quiet">{say("quality.notWatched")}</p> : null}
      <div class="acts">
        <button type="button" class="do" onClick={() => setSheet("look")}>
          {say("quality.look")}
        </button>
        <button type="button" class="do" onClick={() => setSheet("inspect")}>
          {say("quality.inspect")}
        </button>
        <button type="button" class="do" onClick={() => setSheet("watch")}>
          {say("quality.setWatch")}
        </button>
      </div>
      {sheet === "look" ? <LookSheet room={room} view={view} onClose={close} /> : null}
      {sheet === "inspect" ? <InspectSheet room={room} view={view} onClose={close} /> : null}
      {sheet === "watch" ? <WatchSheet room={room} view={view} onClose={close} /> : null}
    </Fold>
  );
}

/** Every rate of all attempts, and what they do not see. */
function All({ room, row }: { room: Room; row: QualityRow }): JSX.Element {
  return (
    <>
      <RateRows room={room} row={row} names={rateNames.filter((name) => row.rates[name].of > 0)} />
      {row.buriedOpen > 0 ? (
        <p>
          <Figure room={room} of="buried" alone>
            {say("quality.buriedOpen", { n: row.buriedOpen })}
          </Figure>
        </p>
      ) : null}
      <p class="quiet small">{say("quality.lowerBound")}</p>
    </>
  );
}

/** The two rates of a part of the attempts, and what was inspected of it. */
function Some({ room, row }: { room: Room; row: QualityRow }): JSX.Element {
  const names: readonly RateName[] = row.inspected > 0 ? ["total", "partial", "follicles"] : ["total", "partial"];
  return (
    <section class="rated">
      <h3>{rowName(row)}</h3>
      <RateRows room={room} row={row} names={names} />
    </section>
  );
}

function RateRows({ room, row, names }: { room: Room; row: QualityRow; names: readonly RateName[] }): JSX.Element {
  return (
    <table class="rates">
      <tbody>
        {names.map((name) => (
          <tr key={name}>
            <th scope="row">{rateWord(name)}</th>
            <td>
              <b>{shareWords(row.rates[name])}</b>
              <span class="quiet">{rangeWords(row.rates[name])}</span>
            </td>
            <td>
              <Counted room={room} row={row} name={name} alone />
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function Sum({ room, of: w, limit }: { room: Room; of: Watched; limit: number }): JSX.Element {
  const d = decimalsOf.watch;
  return (
    <p class={w.asks ? "tight" : ""}>
      {say("quality.pass", { n: w.number })}:{" "}
      <Figure room={room} of="watch" at={w.pass}>
        {say("quality.sum", { n: writeDecimal(w.sum100, d), limit: writeDecimal(limit, d) })}
      </Figure>
      {w.trials > 0 ? ` · ${say("quality.since", { cut: w.cut, of: w.trials, time: clock(w.sinceMs) })}` : ""}
    </p>
  );
}

/** The setting of the watch, and what it leads to while it is chosen. */
function WatchSheet({ room, view, onClose }: Props & { onClose: () => void }): JSX.Element {
  const [typed, setTyped] = useState<Typed>(typedOf(view.quality));
  const [wrong, setWrong] = useState("");
  const [busy, run] = useBusy();
  const set = async (): Promise<void> => {
    const fact = watchOf(typed);
    if (!fact) return setWrong(say("quality.watchWrong"));
    const { fault } = await room.tap(fact);
    if (fault) setWrong(sayFault(fault));
    else onClose();
  };
  const field = (name: keyof Typed): JSX.Element => (
    <label class="field">
      <span>{say(`quality.field.${name}` as Under<"quality.field.">)}</span>
      <input
        inputMode="decimal"
        autoComplete="off"
        value={typed[name]}
        onInput={(e) => {
          setTyped({ ...typed, [name]: e.currentTarget.value });
          setWrong("");
        }}
      />
    </label>
  );
  return (
    <Dialog title={say("quality.setWatch")} onClose={onClose}>
      <p>{say("quality.watchWhy")}</p>
      <div class="pair">
        {field("usual")}
        {field("notice")}
      </div>
      {field("limit")}
      {view.quality.watched.some((w) => w.asks) ? <p class="tight">{say("quality.watchEnds")}</p> : null}
      <ChancesWords room={room} typed={typed} />
      {wrong ? (
        <p class="wrong" role="alert">
          {wrong}
        </p>
      ) : null}
      <button type="button" class="do first" disabled={busy} onClick={() => run(set)}>
        {say("quality.setWatch")}
      </button>
    </Dialog>
  );
}
