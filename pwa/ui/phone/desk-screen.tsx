// The desk: what asks, then six tasks, then the dishes by age, and who is how
// fresh.
import "./rare-words";
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { Difference, Dish, Fact, Recount, Ref, View } from "../../bridge/protocol.gen";
import { shortDuration } from "../parts/duration";
import { useNow } from "../parts/now";
import type { Room } from "../parts/room";
import { clock, count, say, sayFault } from "../parts/say";
import { Glyph } from "../parts/strokes";
import { liesThere } from "../parts/there";
import { TruthLine } from "../parts/truth-line";
import { DeskDoses } from "./desk-doses";
import { NoteSheet, PauseSheet } from "./desk-sheets";
import { GoesIn, sizesWord } from "./dish";
import { DishDone } from "./dish-done";
import { DishSheet } from "./dish-sheet";
import { EntryList } from "./entry-list";
import { HandOverSheet } from "./hand-over";
import { OutWords } from "./line";
import { LookSheet } from "./look-sheet";
import { OpenDish } from "./open-dish";
import type { StationProps } from "./phone-app";
import { PhoneList } from "./phone-list";
import { benchSubject, dishSubject, nameAmong, RecountSheet, type Subject } from "./recount-sheet";
import { Who } from "./station";

type Sheet =
  | { do: "recount"; subject: Subject | null }
  | { do: "open" | "note" | "pause" | "hand" | "entries" | "look" }
  | { do: "dish"; dish: Ref }
  | { do: "done"; dish: Dish };

const maxAsks = 3;

/** The station of the circulator. */
export function DeskScreen({ room, shown, view }: StationProps): JSX.Element {
  const [sheet, setSheet] = useState<Sheet | null>(null);
  const [said, setSaid] = useState("");
  const close = (): void => setSheet(null);
  const tap = async (fact: Fact): Promise<string> => {
    const { fault } = await room.tap(fact);
    if (!fault) setSaid(say("desk.kept"));
    return fault ? sayFault(fault) : "";
  };
  const dish = sheet?.do === "dish" ? view.dishes.find((d) => d.ref === sheet.dish) : undefined;
  return (
    <main class={sheet?.do === "recount" ? "phone lead desk blind" : "phone lead desk"}>
      <TruthLine room={room} shown={shown} counted={view.session.events} entries />
      <Who room={room} view={view} station="station.desk" />
      <div class="scroll">
        <Asks view={view} onCount={(subject) => setSheet({ do: "recount", subject })} onLook={() => setSheet({ do: "look" })} />
        <Tasks onTask={setSheet} />
        {said ? (
          <p class="quiet" role="status">
            {said}
          </p>
        ) : null}
        <DeskDoses room={room} view={view} />
        <Dishes room={room} view={view} onPick={(ref) => setSheet({ do: "dish", dish: ref })} />
        <Recounts view={view} />
        <PhoneList view={view} />
      </div>
      {sheet?.do === "recount" ? <RecountSheet room={room} view={view} subject={sheet.subject} onClose={close} /> : null}
      {sheet?.do === "open" ? <OpenDish room={room} view={view} onOpened={close} onClose={close} /> : null}
      {sheet?.do === "look" ? <LookSheet room={room} view={view} onClose={close} /> : null}
      {sheet?.do === "note" ? <NoteSheet tap={tap} onClose={close} /> : null}
      {sheet?.do === "pause" ? <PauseSheet tap={tap} onClose={close} /> : null}
      {sheet?.do === "entries" ? <EntryList room={room} view={view} of={null} onClose={close} /> : null}
      {sheet?.do === "hand" ? <HandOverSheet room={room} view={view} onClose={close} /> : null}
      {sheet?.do === "dish" && dish ? (
        <DishSheet
          room={room}
          view={view}
          dish={dish}
          onDone={() => setSheet({ do: "done", dish })}
          onRecount={(bySize) => setSheet({ do: "recount", subject: dishSubject(view, dish, bySize) })}
          onClose={() => setSheet((now) => (now?.do === "dish" ? null : now))}
        />
      ) : null}
      {sheet?.do === "done" ? <DishDone room={room} view={view} dish={sheet.dish} onClose={close} /> : null}
    </main>
  );
}

/** What a person at the desk can answer: a stock whose objects must be counted, and what the room runs short of. */
interface AsksProps {
  view: View;
  onCount: (of: Subject) => void;
  onLook: () => void;
}

function Asks({ view, onCount, onLook }: AsksProps): JSX.Element {
  const toCount = view.differences.flatMap((d) => {
    const subject = d.open && d.recountFirst ? subjectOf(view, d) : null;
    if (!subject) return [];
    const name = d.size > 0 ? say("recount.nameSize", { what: subject.name, size: sizesWord(d.size) }) : subject.name;
    return [{ d, name, subject }];
  });
  const short = view.asks.filter((a) => a.what === "short");
  const look = view.asks.find((a) => a.what === "look");
  return (
    <>
      {look ? (
        <section class="ask">
          <Glyph of="ask" />
          <h2>{say("ask.look", { zone: look.zone, have: look.have, want: look.want, since: clock(look.sinceMs) })}</h2>
          <p>{say("askDo.look")}</p>
          <button type="button" class="do" onClick={onLook}>
            {say("extraction.lookNow")}
          </button>
        </section>
      ) : null}
      {toCount.slice(0, maxAsks).map(({ d, name, subject }, i) => (
        <section class="ask" key={`${d.what}${d.at}${d.size}`}>
          <Glyph of="ask" />
          <h2>{say(liesThere(d) ? "desk.leftOver" : "desk.countIt", { what: name, n: d.counted })}</h2>
          {liesThere(d) ? <p>{say("desk.there")}</p> : i === 0 ? <p>{say("desk.countWhy")}</p> : null}
          {liesThere(d) ? null : (
            <button type="button" class="do" onClick={() => onCount(subject)}>
              {say("desk.countNow")}
            </button>
          )}
        </section>
      ))}
      {short.map((a) => (
        <section class="ask" key={`${a.zone}${a.size}`}>
          <Glyph of="ask" />
          <h2>{say("ask.short", { zone: a.zone, have: a.have, want: a.want, size: sizesWord(a.size) })}</h2>
          <p>{say("askDo.short")}</p>
        </section>
      ))}
    </>
  );
}

function subjectOf(view: View, d: Difference): Subject | null {
  const dish = view.dishes.find((one) => one.ref === d.at);
  const zone = view.zones.find((z) => z.ref === d.at);
  if (d.what === "bench") return benchSubject();
  if (d.what === "dish" && dish) return { ...dishSubject(view, dish), sizes: [d.size] };
  if (d.what === "holding") return { of: "holding", dish: "", zone: "", sizes: [d.size], name: say("recount.holding") };
  if (d.what === "sites" && zone)
    return { of: "open sites", dish: "", zone: zone.ref, sizes: [d.size], name: say("recount.sites", { zone: zone.name }) };
  return null;
}

function Tasks({ onTask }: { onTask: (s: Sheet) => void }): JSX.Element {
  const tasks = [
    ["recount", "recount", { do: "recount", subject: null }],
    ["dish", "dish", { do: "open" }],
    ["hand", "hand", { do: "hand" }],
    ["pause", "pause", { do: "pause" }],
    ["note", "note", { do: "note" }],
    ["undo", "entries", { do: "entries" }],
  ] as const;
  return (
    <nav class="tasks" aria-label={say("desk.tasks")}>
      {tasks.map(([glyph, word, sheet]) => (
        <button type="button" class="pad2" key={word} onClick={() => onTask(sheet)}>
          <Glyph of={glyph} />
          {say(`desk.${word}`)}
        </button>
      ))}
    </nav>
  );
}

function Dishes({ room, view, onPick }: { room: Room; view: View; onPick: (ref: Ref) => void }): JSX.Element {
  const now = useNow(30_000);
  const byAge = [...view.dishes].sort((a, b) => a.openedMs - b.openedMs);
  return (
    <section class="row">
      <header>
        <h2>{say("desk.held", { n: view.ledger.holdingTotal })}</h2>
        <span>{say("sorting.bench", { n: view.ledger.bench })}</span>
      </header>
      <p>
        <OutWords room={room} view={view} />
      </p>
      {byAge.length === 0 ? <p class="quiet">{say("desk.noDish")}</p> : null}
      <ul class="dishes">
        {byAge.map((d) => (
          <li key={d.ref}>
            <button type="button" onClick={() => onPick(d.ref)}>
              <b>
                <span class="off">{say("dish.one")} </span>
                {d.label}
              </b>
              <GoesIn dish={d} />
              <Held dish={d} now={now} />
            </button>
          </li>
        ))}
      </ul>
      <p class="quiet">{say("desk.placed", { n: count(view.ledger.placedTotal) })}</p>
    </section>
  );
}

/** The newest recount of each stock, and how far apart it was. */
function Recounts({ view }: { view: View }): JSX.Element | null {
  if (view.recounts.length === 0) return null;
  const newestFirst = [...view.recounts].sort((a, b) => b.atMs - a.atMs);
  return (
    <section class="row">
      <header>
        <h2>{say("recount.list")}</h2>
      </header>
      <ul class="recounts">
        {newestFirst.map((r) => (
          <li key={r.ref}>
            <span>{whatOf(view, r)}</span>
            <b class={r.amount === 0 ? "" : "tight"}>
              {r.amount === 0 ? say("recount.agrees") : say("recount.apart", { n: Math.abs(r.amount) })}
            </b>
            <span class="quiet">{say("recount.line", { n: r.counted, ledger: r.ledger, person: r.person, time: clock(r.atMs) })}</span>
          </li>
        ))}
      </ul>
    </section>
  );
}

function whatOf(view: View, r: Recount): string {
  const zone = view.zones.find((z) => z.ref === r.at)?.name ?? "";
  const dish = view.dishes.find((d) => d.ref === r.at);
  const what =
    r.what === "dish"
      ? dish
        ? nameAmong(view, dish)
        : say("recount.dishGone")
      : r.what === "sites"
        ? say("recount.sites", { zone })
        : say(`recount.${r.what}` as "recount.bench" | "recount.holding");
  return r.size > 0 ? say("recount.nameSize", { what, size: sizesWord(r.size) }) : what;
}

/** How long the oldest graft lies in a dish, past a limit in a word as well; of an empty one how old the dish is. */
function Held({ dish: d, now }: { dish: Dish; now: number }): JSX.Element {
  if (d.closed) return <span class="quiet">{say("dish.closed")}</span>;
  if (d.sinceMs === 0 || d.held === "within")
    return <span class="quiet">{d.sinceMs === 0 ? age(d.openedMs, now) : shortDuration(d.heldMin)}</span>;
  return (
    <span class="tight">
      {shortDuration(d.heldMin)}
      <span class="off">, {say(`outNow.${d.held}`)}</span>
    </span>
  );
}

/** How long ago, in hours and minutes. */
function age(fromMs: number, nowMs: number): string {
  const minutes = Math.max(0, Math.floor((nowMs - fromMs) / 60_000));
  return minutes < 60
    ? say("dish.minutes", { n: minutes })
    : say("dish.hours", { h: Math.floor(minutes / 60), m: String(minutes % 60).padStart(2, "0") });
}
