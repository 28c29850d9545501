// The lead: the sentence, what asks, the plan's conflicts, differences, and
// what must be zero at the close.
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { Ask, Difference, Phone, View } from "../../bridge/protocol.gen";
import { Conflicts } from "../parts/conflicts";
import { Dialog, NumberField, wholeNumber } from "../parts/dialog";
import { limitOf } from "../parts/limit";
import { clock, count, type Key, say, sayFault } from "../parts/say";
import { Glyph } from "../parts/strokes";
import { TruthLine } from "../parts/truth-line";
import { Figure } from "../parts/where";
import { EntryList } from "./entry";
import type { StationProps } from "./phone-app";
import { PhoneList } from "./phone-list";
import { Who } from "./station";

/** The lead's phone. */
export function LeadScreen({ room, shown, view }: StationProps): JSX.Element {
  const [budget, setBudget] = useState(false);
  const [whose, setWhose] = useState<Phone | null>(null);
  return (
    <main class="phone lead">
      <TruthLine room={room} shown={shown} counted={view.session.events} />
      <Who room={room} view={view} station="station.lead" />
      <div class="scroll">
        <Sentence room={room} view={view} />
        {view.asks
          .filter((a) => a.what !== "choose") // the cards below ask for it
          .map((a) => (
            <AskField key={`${a.what}${a.zone}${a.size}`} ask={a} />
          ))}
        <Conflicts room={room} view={view} />
        <section class="row">
          <header>
            <h2>{say("lead.budget")}</h2>
            <b>{view.headline.budgetKnown ? count(view.headline.budget) : say("lead.notSet")}</b>
          </header>
          <p class="quiet">
            {say(`lead.limit.${view.ledger.budgetLimitedBy}` as Key, { need: view.ledger.needTotal, donor: view.ledger.capacityGrafts })}
          </p>
          <button type="button" class="do" onClick={() => setBudget(true)}>
            {say("lead.setBudget")}
          </button>
        </section>
        {view.differences.map((d) => (
          <DifferenceRow key={`${d.what}${d.at}${d.size}`} of={d} view={view} />
        ))}
        <Close view={view} />
        <PhoneList view={view} onPick={setWhose} />
      </div>
      {budget ? <BudgetSheet room={room} view={view} onClose={() => setBudget(false)} /> : null}
      {whose ? <EntryList room={room} view={view} of={whose} onClose={() => setWhose(null)} /> : null}
    </main>
  );
}

function Sentence({ room, view }: { room: StationProps["room"]; view: View }): JSX.Element {
  const h = view.headline;
  const stops =
    h.stops === "unknown"
      ? say("lead.nothingPlanned")
      : say(`lead.stops.${h.stops}` as Key, { n: h.stopAt, donor: h.donorKnown ? count(h.donorLeft) : say("lead.unknown") });
  return (
    <section class="say">
      <h2>
        <Figure room={room} of={h.budgetKnown ? "to take" : "usable"} alone>
          {h.budgetKnown ? say("lead.toTake", { n: h.toTake }) : say("lead.usable", { n: h.usable })}
        </Figure>
      </h2>
      <p>{stops}</p>
      {h.rangeKnown ? (
        <p class="quiet">
          {say("lead.range")} <bdi dir="ltr">{h.highOpen ? `${count(h.low)}–` : `${count(h.low)}–${count(h.high)}`}</bdi>
        </p>
      ) : null}
      {h.away > 0 ? (
        <p class="away">
          <Glyph of="here" />
          <span>{say(h.away === 1 ? "lead.awayOne" : "lead.away", { n: h.away, heard: view.ledger.attempts.punched })}</span>
        </p>
      ) : null}
    </section>
  );
}

function AskField({ ask }: { ask: Ask }): JSX.Element {
  const past = ask.what === "past donor";
  return (
    <section class={past ? "ask past" : "ask"}>
      <Glyph of={past ? "past" : "ask"} />
      <h2>
        {say(`ask.${ask.what}` as Key, {
          have: ask.have,
          want: ask.want,
          zone: ask.zone,
          size: say(ask.size > 0 ? (`sizes.${ask.size}` as Key) : "size.0"),
        })}
      </h2>
      <p>{say(`askDo.${ask.what}` as Key, { have: ask.have, want: ask.want })}</p>
    </section>
  );
}

function DifferenceRow({ of, view }: { of: Difference; view: View }): JSX.Element {
  const at = view.zones.find((z) => z.ref === of.at)?.name ?? "";
  const pass = view.passes.findIndex((p) => p.ref === of.at);
  const place = at || (pass >= 0 ? say("lead.pass", { n: pass + 1 }) : "");
  return (
    <section class="row">
      <header>
        <h2>{say(`difference.${of.what}` as Key)}</h2>
        <b>{count(of.amount)}</b>
      </header>
      <p class="quiet">
        {[place, of.size > 0 ? say(`size.${of.size}` as Key) : "", say("lead.since", { time: clock(of.sinceMs) })]
          .filter(Boolean)
          .join(" · ")}
      </p>
      <p>
        {of.open ? say(`differenceDo.${of.what}` as Key) : say(of.waitingFor === 1 ? "lead.waitsOne" : "lead.waits", { n: of.waitingFor })}
      </p>
    </section>
  );
}

function Close({ view }: { view: View }): JSX.Element {
  const rows: [Key, number][] = [
    ["close.bench", view.ledger.bench],
    ["close.held", view.ledger.holdingTotal],
    ["close.pending", view.ledger.attempts.pending],
    ["close.buried", view.ledger.buriedOpen],
    ["close.sites", view.ledger.openSites],
    ["close.waiting", view.session.waiting],
  ];
  return (
    <section class="row">
      <header>
        <h2>{say("close.title")}</h2>
      </header>
      <table class="close">
        <tbody>
          {rows.map(([key, n]) => (
            <tr key={key}>
              <th scope="row">{say(key)}</th>
              <td>{count(n)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

function BudgetSheet({ room, view, onClose }: { room: StationProps["room"]; view: View; onClose: () => void }): JSX.Element {
  const [grafts, setGrafts] = useState(view.headline.budgetKnown ? String(view.headline.budget) : "");
  const [reason, setReason] = useState("");
  const [wrong, setWrong] = useState("");
  const set = async (): Promise<void> => {
    const n = wholeNumber(grafts);
    if (n === null) {
      setWrong(say("phone.numberWrong"));
      return;
    }
    const limit = limitOf(view.ledger);
    if (limit !== null && n > limit && reason.trim() === "") {
      setWrong(say("lead.reasonNeeded", { n: limit }));
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
