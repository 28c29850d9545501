// The budget: what it is, which side limits it, and setting it.
import type { ComponentChild, JSX } from "preact";
import { useState } from "preact/hooks";
import type { View } from "../../bridge/protocol.gen";
import { Dialog, NumberField, wholeNumber } from "../parts/dialog";
import { Filled } from "../parts/filled";
import type { Room } from "../parts/room";
import { count, say, sayFault, type Under } from "../parts/say";
import { Figure } from "../parts/where";
import { Fold } from "./fold";

interface Props {
  room: Room;
  view: View;
}

export function Budget({ room, view }: Props): JSX.Element {
  const [setting, set] = useState(false);
  const { headline: h, ledger: l } = view;
  const alone = l.budgetLimitedBy !== "unknown" && (view.zones.length === 0 || view.regions.length === 0);
  const figure = (of: "need" | "budget", n: number): ComponentChild => (
    <Figure room={room} of={of}>
      {count(n)}
    </Figure>
  );
  return (
    <Fold
      title={say("lead.budget")}
      says={h.budgetKnown ? count(h.budget) : say("lead.notSet")}
      open={!h.budgetKnown || l.budgetAboveLimit}
    >
      {h.budgetKnown ? <p>{<Filled of="lead.budgetIs" with={{ n: figure("budget", h.budget) }} />}</p> : null}
      <p>
        <Filled
          of={`lead.limit.${l.budgetLimitedBy}${alone ? "Only" : ""}` as Under<"lead.limit.">}
          with={{
            need: figure("need", l.needTotal),
            donor: figure("budget", l.capacityGrafts),
            max: figure("budget", l.budgetMax),
          }}
        />
      </p>
      {l.shortfall > 0 ? <p>{say("lead.shortfall", { n: l.shortfall })}</p> : null}
      {l.budgetAboveLimit ? <p class="wrong">{say("lead.aboveLimit")}</p> : null}
      <button type="button" class="do" onClick={() => set(true)}>
        {say("lead.setBudget")}
      </button>
      {setting ? <BudgetSheet room={room} view={view} onClose={() => set(false)} /> : null}
    </Fold>
  );
}

function BudgetSheet({ room, view, onClose }: Props & { onClose: () => void }): JSX.Element {
  const [grafts, setGrafts] = useState(view.headline.budgetKnown ? String(view.headline.budget) : "");
  const [reason, setReason] = useState("");
  const [wrong, setWrong] = useState("");
  const set = async (): Promise<void> => {
    const n = wholeNumber(grafts);
    if (n === null) {
      setWrong(say("phone.numberWrong"));
      return;
    }
    const { fault } = await room.tap({ kind: "budget", grafts: n, reason: reason.trim() });
    if (fault) setWrong(sayFault(fault));
    else onClose();
  };
  return (
    <Dialog title={say("lead.setBudget")} onClose={onClose}>
      <NumberField label={say("lead.grafts")} error={wrong} value={grafts} onInput={setGrafts} />
      <label class="field">
        <span>{say("lead.reason")}</span>
        <input value={reason} maxLength={500} autoComplete="off" onInput={(e) => setReason(e.currentTarget.value)} />
      </label>
      <button type="button" class="do first" onClick={() => void set()}>
        {say("lead.setBudget")}
      </button>
    </Dialog>
  );
}
