// Two tallies that should agree and do not: what, how much, what usually
// explains it, and the three ways to close it.
import type { ComponentChild, JSX } from "preact";
import { useState } from "preact/hooks";
import type { Difference, Figure as FigureName, View } from "../../bridge/protocol.gen";
import { Dialog } from "../parts/dialog";
import type { Room } from "../parts/room";
import { clock, count, type Key, say, type Under } from "../parts/say";
import { liesThere } from "../parts/there";
import { TwoRows } from "../parts/two-rows";
import { Figure } from "../parts/where";
import { placeOf } from "./place";
import { SettleSheet } from "./settle";

/** The figure that a difference shows in, for the question where it comes from. */
const figureOf: Readonly<Record<Difference["what"], FigureName>> = {
  "": "",
  pending: "pending",
  intact: "out",
  against: "attempted",
  buried: "buried",
  bench: "bench",
  holding: "holding",
  sites: "sites",
  placed: "placed",
  beyond: "usable",
  reading: "counter",
  dish: "dish",
};

/** One of the two tallies: its words, how much, and the figure to ask about. */
interface Tally {
  words: string;
  n: number;
  of: FigureName;
}

/** The two tallies of a difference, where both are numbers of the room; null where the difference is all there is. */
function tallies(d: Difference, view: View): readonly [Tally, Tally] | null {
  if (d.recounted && d.counted !== d.ledger) {
    return [
      { words: say("lead.ledgerSaid"), n: d.ledger, of: figureOf[d.what] },
      { words: say("lead.countedN"), n: d.counted, of: "" },
    ];
  }
  const pass = view.passes.find((p) => p.ref === d.at);
  const zone = view.zones.find((z) => z.ref === d.at);
  switch (d.what) {
    case "reading":
      return pass
        ? [
            { words: say("lead.device"), n: pass.counter, of: "counter" },
            { words: say("lead.taps"), n: pass.counts.punched, of: "attempted" },
          ]
        : null;
    case "bench":
      return [
        { words: say("lead.outN"), n: view.ledger.out, of: "out" },
        { words: say("lead.judged"), n: view.ledger.judged, of: "kept" },
      ];
    case "sites":
      return zone
        ? [
            { words: say("lead.made"), n: zone.sites[d.size - 1] ?? 0, of: "sites" },
            { words: say("lead.placedN"), n: zone.placed[d.size - 1] ?? 0, of: "placed" },
          ]
        : null;
    default:
      return null;
  }
}

const small = 3; // up to this, a difference is no more than a slip of counting makes

/** What usually explains it, by the side that is ahead where that tells. */
function whyOf(d: Difference): Key {
  const sided = d.what === "reading" || d.what === "bench" || d.what === "holding";
  return `differenceWhy.${d.what}${sided && d.amount < 0 ? "-under" : ""}` as Under<"differenceWhy.">;
}

/** What to count again, called as the desk calls it. */
function recountWords(d: Difference, view: View): string {
  const dish = view.dishes.find((one) => one.ref === d.at);
  const zone = view.zones.find((one) => one.ref === d.at)?.name ?? "";
  const sized = d.size > 0 && (d.what === "holding" || (d.what === "dish" && dish?.size === 0));
  return say(`recountDo.${d.what}${sized ? "-size" : ""}` as Under<"recountDo.">, {
    place: placeOf(d, view),
    zone,
    dish: say("phone.dish", { label: dish?.label ?? "" }),
  });
}

const atDesk: readonly Difference["what"][] = ["bench", "holding", "sites", "beyond", "dish"];

interface CardProps {
  room: Room;
  of: Difference;
  view: View;
  onSettle: () => void;
}

/** Every difference that is open, each as a card, and those that wait for a phone in one line each. */
export function Differences({ room, view }: { room: Room; view: View }): JSX.Element | null {
  const [settling, setSettling] = useState<Difference | null>(null); // not in its card, which goes when it closes
  const open = view.differences.filter((d) => d.open);
  const waiting = view.differences.filter((d) => !d.open);
  if (view.differences.length === 0 && !settling) return null;
  return (
    <>
      {open.map((d) => (
        <Card key={`${d.what}${d.at}${d.size}`} room={room} of={d} view={view} onSettle={() => setSettling(d)} />
      ))}
      {waiting.map((d) => (
        <p key={`${d.what}${d.at}${d.size}`} class="waits">
          {say(`difference.${d.what}` as Under<"difference.">)}: <b>{count(d.amount)}</b>.{" "}
          <span class="quiet">{say("lead.waits", { n: d.waitingFor })}</span>
        </p>
      ))}
      {open.length > 0 ? <p class="quiet small">{say("lead.published")}</p> : null}
      {settling ? <SettleSheet room={room} of={settling} view={view} onClose={() => setSettling(null)} /> : null}
    </>
  );
}

function Card({ room, of: d, view, onSettle }: CardProps): JSX.Element {
  const place = placeOf(d, view);
  const two = tallies(d, view);
  return (
    <section class="row apart-card">
      <header>
        <h2>{say(`difference.${d.what}` as Under<"difference.">)}</h2>
        <Figure room={room} of={figureOf[d.what]} at={d.what === "beyond" ? "" : d.at} size={d.size} alone>
          {say("lead.apart", { n: Math.abs(d.amount) })}
        </Figure>
      </header>
      <p class="quiet">{[place, say("lead.since", { time: clock(d.sinceMs) })].filter(Boolean).join(" · ")}</p>
      {two ? <Two room={room} of={d} two={two} /> : null}
      {d.recounted ? (
        <p>
          {say(d.countedBy === "" ? "lead.countedNobody" : "lead.countedBy", {
            n: d.counted,
            time: clock(d.countedMs),
            person: d.countedBy,
            ledger: d.ledger,
          })}
        </p>
      ) : null}
      <p>{say(whyOf(d))}</p>
      {Math.abs(d.amount) <= small ? <p class="quiet">{say("lead.small")}</p> : null}
      <Ways of={d} view={view} onSettle={onSettle} />
    </section>
  );
}

function Two({ room, of: d, two: [above, below] }: { room: Room; of: Difference; two: readonly [Tally, Tally] }): JSX.Element {
  const side = (t: Tally): ComponentChild => (
    <p class="side">
      <span>{t.words}</span>
      {t.of === "" ? (
        <b>{count(t.n)}</b>
      ) : (
        <b>
          <Figure room={room} of={t.of} at={t.of === "out" || t.of === "kept" ? "" : d.at} size={d.size} alone>
            {count(t.n)}
          </Figure>
        </b>
      )}
    </p>
  );
  return (
    <div class="tallies">
      {side(above)}
      <TwoRows above={above.n} below={below.n} />
      {side(below)}
    </div>
  );
}

type Way = "recount" | "late";

/** How to count again, how to enter what was forgotten, or settling. What was counted and lies there is not counted again or settled. */
function Ways({ of: d, view, onSettle }: Omit<CardProps, "room">): JSX.Element {
  const [way, setWay] = useState<Way | null>(null);
  const close = (): void => setWay(null);
  const there = liesThere(d);
  return (
    <>
      <div class="acts">
        {there ? null : (
          <button type="button" class="do" onClick={() => setWay("recount")}>
            {say("lead.countAgain")}
          </button>
        )}
        {d.settle !== 0 && !there ? (
          <button type="button" class="do settles-it" disabled={d.recountFirst} onClick={onSettle}>
            {say("settle.title")}
          </button>
        ) : null}
        <button type="button" class="do" onClick={() => setWay("late")}>
          {say("lead.enterLate")}
        </button>
      </div>
      {there ? <p>{say("settle.there")}</p> : null}
      {d.settle === 0 && !there ? <p class="quiet">{say("settle.never")}</p> : null}
      {d.settle !== 0 && d.recountFirst && !there ? <p class="quiet">{say("settle.recountFirst")}</p> : null}
      {way === "recount" ? (
        <Dialog title={say("lead.countAgain")} onClose={close}>
          <p>{recountWords(d, view)}</p>
          {atDesk.includes(d.what) && !view.phones.some((p) => p.station === "desk" && !p.left) ? (
            <p class="warn">{say("lead.noDesk")}</p>
          ) : null}
          <p>{say("lead.countBlind")}</p>
          <p class="quiet">{say("lead.countWhy")}</p>
        </Dialog>
      ) : null}
      {way === "late" ? (
        <Dialog title={say("lead.enterLate")} onClose={close}>
          <p>{say("lead.lateWhy")}</p>
          <p>{say(`differenceDo.${d.what}` as Under<"differenceDo.">)}</p>
          {atDesk.includes(d.what) ? (
            <p>{d.recounted ? say("lead.lateTick", { time: clock(d.countedMs) }) : say("lead.lateNever")}</p>
          ) : null}
        </Dialog>
      ) : null}
    </>
  );
}
