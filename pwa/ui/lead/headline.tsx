// The sentence of the day, and what asks.
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { Ask, View } from "../../bridge/protocol.gen";
import { quoted } from "../parts/duration";
import { Filled } from "../parts/filled";
import type { Room } from "../parts/room";
import { clock, count, say, type Under } from "../parts/say";
import { spent } from "../parts/spent";
import { Glyph } from "../parts/strokes";
import { Figure } from "../parts/where";
import { LookSheet } from "../phone/later";

/** What is still to take, what stops first, and how sure that is. */
export function Sentence({ room, view }: { room: Room; view: View }): JSX.Element {
  const h = view.headline;
  if (view.session.endedMs > 0) return <Ended room={room} view={view} />;
  return (
    <section class="say">
      <h2>
        <Figure room={room} of={spent(view) ? "donor left" : h.budgetKnown ? "to take" : "usable"} alone>
          {spent(view) ? say("lead.noMore") : h.budgetKnown ? say("lead.toTake", { n: h.toTake }) : say("lead.usable", { n: h.usable })}
        </Figure>
      </h2>
      <p>
        <Stops room={room} view={view} />
      </p>
      {h.rangeKnown ? (
        <p class="quiet">
          {say("lead.range")}{" "}
          <Figure room={room} of="attempts">
            {h.highOpen ? say("lead.orMore", { n: h.low }) : `${count(h.low)}–${count(h.high)}`}
          </Figure>
        </p>
      ) : null}
      {h.away > 0 ? (
        <p class="away">
          <Glyph of="here" />
          <span>
            {say(h.held > 0 ? "lead.awayHold" : "lead.away", { n: h.away, heard: view.ledger.attempts.punched, held: h.held })}{" "}
            {h.stopFrom < h.stopAt ? say("lead.between", { from: h.stopFrom, stop: h.stopAt }) : ""}
          </span>
        </p>
      ) : null}
      {h.atRisk > 0 ? <p class="tight">{say("lead.atRisk", { n: h.atRisk })}</p> : null}
    </section>
  );
}

/** After the end: what was placed, and when it ended. */
function Ended({ room, view }: { room: Room; view: View }): JSX.Element {
  return (
    <section class="say">
      <h2>
        <Figure room={room} of="placed" alone>
          {say("lead.placed", { n: view.ledger.placedTotal })}
        </Figure>
      </h2>
      <p>{say("lead.ended", { time: clock(view.session.endedMs) })}</p>
    </section>
  );
}

function Stops({ room, view }: { room: Room; view: View }): JSX.Element {
  const h = view.headline;
  if (h.stops === "unknown") return <>{say("lead.nothingPlanned")}</>;
  if (spent(view)) return <>{say("lead.stops.spent", { n: h.toTake })}</>;
  return (
    <Filled
      of={h.stops === "need" && !h.donorKnown ? "lead.stops.needOnly" : (`lead.stops.${h.stops}` as Under<"lead.stops.">)}
      with={{
        n: (
          <Figure room={room} of="stop at">
            {count(h.stopAt)}
          </Figure>
        ),
        donor: (
          <Figure room={room} of="donor left">
            {count(h.donorLeft)}
          </Figure>
        ),
      }}
    />
  );
}

/** What asks for somebody: the first in full, the others in a line each. What has cards of its own is asked there. */
export function Asks({ room, view }: { room: Room; view: View }): JSX.Element {
  const [looking, setLooking] = useState(false);
  const asks = view.asks.filter((a) => a.what !== "choose" && a.what !== "recount");
  return (
    <>
      {asks.map((a, i) => (
        <AskField key={`${a.what}${a.zone}${a.size}`} ask={a} brief={i > 0} onLook={() => setLooking(true)} />
      ))}
      {looking ? <LookSheet room={room} view={view} onClose={() => setLooking(false)} /> : null}
    </>
  );
}

function AskField({ ask, brief, onLook }: { ask: Ask; brief: boolean; onLook: () => void }): JSX.Element {
  const look = ask.limit ? "ask past" : "ask";
  const head = (
    <>
      <Glyph of={ask.limit ? "past" : "ask"} />
      <h2>
        {say(`ask.${ask.what}` as Under<"ask.">, {
          ...quoted(ask),
          zone: ask.zone,
          since: clock(ask.sinceMs),
          size: say(ask.size > 0 ? (`sizes.${ask.size}` as Under<"sizes.">) : "size.0"),
        })}
      </h2>
    </>
  );
  const todo = (
    <>
      <p>{say(`askDo.${ask.what}` as Under<"askDo.">, quoted(ask))}</p>
      {ask.what === "look" ? (
        <button type="button" class="do" onClick={onLook}>
          {say("extraction.lookNow")}
        </button>
      ) : null}
    </>
  );
  if (brief) {
    return (
      <details class={`${look} brief`}>
        <summary>{head}</summary>
        {todo}
      </details>
    );
  }
  return (
    <section class={look}>
      {head}
      {todo}
    </section>
  );
}
