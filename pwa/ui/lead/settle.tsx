// Settling a difference: an amount, a reason, held to confirm; and what was
// settled, each with its undo.
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { Difference, Ref, Settle, View } from "../../bridge/protocol.gen";
import { useBusy } from "../parts/busy";
import { Dialog, NumberField, wholeNumber } from "../parts/dialog";
import { HoldButton } from "../parts/hold";
import type { Room } from "../parts/room";
import { clock, count, type Key, list, say, sayFault, type Under } from "../parts/say";
import { liesThere } from "../parts/there";
import { Fold } from "./fold";
import { placeOf } from "./place";

interface SheetProps {
  room: Room;
  of: Difference; // as it was when the sheet was opened
  view: View;
  onClose: () => void;
}

/** The regions that a pass took from; shots in the air are taken off one of them. */
function regionsOf(d: Difference, view: View): { ref: Ref; name: string }[] {
  if (d.what !== "pending") return [];
  return view.taken
    .filter((t) => t.pass === d.at)
    .map((t) => {
      const r = view.regions.find((one) => one.ref === t.region);
      return { ref: t.region, name: r ? `${r.code} ${r.name}` : say("settle.noRegion") };
    });
}

/** What the amount does. */
function amountKey(d: Difference): Key {
  if (d.what === "pending") return "settle.air";
  if (d.what === "buried") return "settle.leftIn";
  return d.settle < 0 ? "settle.less" : "settle.more";
}

const sameAs = (d: Difference) => (one: Difference) => one.what === d.what && one.at === d.at && one.size === d.size;

/** What became of a difference since the sheet was opened; "" for nothing. */
function meanwhile(d: Difference, now: Difference | undefined): string {
  if (!now) return say("settle.closed");
  if (liesThere(now)) return say("settle.there");
  if (now.recountFirst) return say("settle.recountFirst");
  return now.amount !== d.amount || now.settle !== d.settle ? say("settle.changed", { n: Math.abs(now.amount) }) : "";
}

/** The sheet in which the lead settles one difference. It stays as it was opened, whatever comes in, and says what has changed. */
export function SettleSheet({ room, of: d, view, onClose }: SheetProps): JSX.Element {
  const regions = regionsOf(d, view);
  const [amount, setAmount] = useState(count(Math.abs(d.settle)));
  const [region, setRegion] = useState<Ref>(regions[0]?.ref ?? "");
  const [reason, setReason] = useState("");
  const [wrong, setWrong] = useState<{ amount?: string; reason?: string; all?: string }>({});
  const [busy, run] = useBusy();
  const now = view.differences.find(sameAs(d));
  const changed = busy ? "" : meanwhile(d, now);
  const settle = async (): Promise<void> => {
    const n = wholeNumber(amount);
    if (n === null || n === 0) return setWrong({ amount: say("phone.numberWrong") });
    if (reason.trim() === "") return setWrong({ reason: say("settle.reasonNeeded") });
    const { what, at, size } = d;
    const signed = d.settle < 0 ? -n : n;
    const { fault } = await room.tap({ kind: "settled", what, at, region, size, amount: signed, reason: reason.trim() });
    if (fault) setWrong({ all: sayFault(fault) });
    else onClose();
  };
  return (
    <Dialog title={say("settle.title")} onClose={onClose}>
      <p>
        <b>{say(`difference.${d.what}` as Under<"difference.">)}</b>
        {placeOf(d, view) ? `, ${placeOf(d, view)}` : ""}: {say("lead.apart", { n: Math.abs(d.amount) })}.
      </p>
      {changed ? (
        <p class="warn" role="alert">
          {changed}
        </p>
      ) : null}
      <NumberField label={say(amountKey(d))} error={wrong.amount ?? ""} value={amount} onInput={setAmount} />
      {regions.length > 1 ? (
        <label class="field">
          <span>{say("settle.region")}</span>
          <select value={region} onChange={(e) => setRegion(e.currentTarget.value)}>
            {regions.map((r) => (
              <option key={r.ref} value={r.ref}>
                {r.name}
              </option>
            ))}
          </select>
        </label>
      ) : null}
      <label class="field">
        <span>{say("settle.reason")}</span>
        <input
          class="reason"
          value={reason}
          maxLength={500}
          autoComplete="off"
          aria-invalid={wrong.reason !== undefined}
          onInput={(e) => setReason(e.currentTarget.value)}
        />
        {wrong.reason ? <span class="wrong">{wrong.reason}</span> : null}
      </label>
      {wrong.all ? (
        <p class="wrong" role="alert">
          {wrong.all}
        </p>
      ) : null}
      <HoldButton label={say("settle.hold")} disabled={busy || !now || now.recountFirst} onHeld={() => run(settle)} />
      <p class="quiet">{say("settle.why")}</p>
    </Dialog>
  );
}

/** What was settled, newest first. */
export function Settles({ room, view }: { room: Room; view: View }): JSX.Element | null {
  const [wrong, setWrong] = useState("");
  const [busy, run] = useBusy();
  const undo = async (s: Settle): Promise<void> => {
    const { fault } = await room.tap({ kind: "void", target: s.ref });
    setWrong(fault ? sayFault(fault) : "");
  };
  if (view.settles.length === 0 && wrong === "") return null;
  return (
    <Fold title={say("settle.list")} says={count(view.settles.length)}>
      {wrong ? (
        <p class="wrong" role="alert">
          {wrong}
        </p>
      ) : null}
      <ul class="settles">
        {view.settles.map((s) => (
          <li key={s.ref}>
            <div>
              <p>
                {say(`difference.${s.what}` as Under<"difference.">)}
                {placeOf(s, view) ? `, ${placeOf(s, view)}` : ""}: <b>{s.amount > 0 ? `+${count(s.amount)}` : count(s.amount)}</b>
              </p>
              <p>{s.reason}</p>
              <p class="quiet">{list([s.person || say("lead.nobody"), clock(s.atMs)])}</p>
            </div>
            <button type="button" class="do" disabled={busy} onClick={() => run(() => undo(s))}>
              {say("phone.undo")}
            </button>
          </li>
        ))}
      </ul>
    </Fold>
  );
}
