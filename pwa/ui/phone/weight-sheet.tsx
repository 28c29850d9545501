// The patient's weight: typed, looked at by the engine, kept.
import "../parts/dose-words";
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { Doubt, View } from "../../bridge/protocol.gen";
import { useBusy } from "../parts/busy";
import { Dialog } from "../parts/dialog";
import { mg, Weight } from "../parts/doses";
import type { Room } from "../parts/room";
import { say, sayFault } from "../parts/say";
import { DecimalKeys } from "./decimal-keys";
import { Doubts } from "./doubts";

interface SheetProps {
  room: Room;
  view: View;
  onClose: () => void;
}

const gramsDecimals = 3;

export function WeightSheet({ room, view, onClose }: SheetProps): JSX.Element {
  const [draft, setDraft] = useState<{ grams: number; doubts: readonly Doubt[] } | null>(null);
  const [wrong, setWrong] = useState("");
  const [busy, run] = useBusy();
  const keep = async (grams: number, asked: boolean): Promise<void> => {
    const { fault } = await room.tap({ kind: "weight", grams, asked });
    if (fault) setWrong(sayFault(fault));
    else onClose();
  };
  const look = async (grams: number): Promise<void> => {
    const got = await room.weigh({ kind: "weight", grams });
    setWrong(got ? (got.fault ? sayFault(got.fault) : "") : say("dose.lost"));
    const doubts = got?.weighed?.doubts;
    if (!doubts) return;
    if (doubts.length === 0) await keep(grams, false);
    else setDraft({ grams, doubts });
  };
  return (
    <Dialog title={say("dose.weigh")} onClose={onClose}>
      {wrong ? (
        <p class="wrong" role="alert">
          {wrong}
        </p>
      ) : null}
      {draft ? (
        <>
          <p class="stood">{say("dose.weightNow", { n: mg(draft.grams) })}</p>
          <Doubts of={draft.doubts} busy={busy} onKeep={() => run(() => keep(draft.grams, true))} onChange={() => setDraft(null)} />
        </>
      ) : (
        <DecimalKeys question={say("dose.weightKeys")} decimals={gramsDecimals} busy={busy} onNumber={(n) => run(() => look(n))}>
          {view.doses.weightKnown ? <Weight view={view} /> : <p class="quiet">{say("dose.weightWhy")}</p>}
        </DecimalKeys>
      )}
    </Dialog>
  );
}
