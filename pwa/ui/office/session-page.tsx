// One open session: how it stands, its plan, its phones, and its end.
import type { JSX } from "preact";
import { useEffect, useState } from "preact/hooks";
import type { Joined } from "../../bridge/messages";
import type { View } from "../../bridge/protocol.gen";
import { Conflicts } from "../parts/conflicts";
import type { Room, Shown } from "../parts/room";
import { clock, say, sayFault } from "../parts/say";
import { TruthLine } from "../parts/truth-line";
import { AnotherDay } from "./another-day";
import { Asks } from "./asks";
import { BudgetCard } from "./budget";
import { EndCard } from "./closing";
import { DayCard } from "./day";
import { Differences } from "./differences";
import { Wrong } from "./field";
import { Figures } from "./figures";
import { FloorCard } from "./floor";
import { KeepingCard } from "./keeping";
import { Links } from "./links";
import { nameOf } from "./names";
import { NoteCard } from "./note";
import { Phones } from "./phones";
import { Punches } from "./punch-part";
import { RefillCard } from "./refill";
import { RegionsCard } from "./regions";
import { PracticeMark, Sheets } from "./session-table";
import type { Sessions } from "./sessions";
import { OpenIt } from "./start";
import { YieldCard } from "./yield";
import { ZonesCard } from "./zones";

interface PageProps {
  room: Room;
  shown: Shown;
  token: string;
  sessions: Sessions;
}

export function SessionPage({ room, shown, token, sessions }: PageProps): JSX.Element {
  const { view, joined } = shown;
  const row = sessions.rows?.find((r) => r.session === joined?.session);
  const refilledMs = row?.refilledMs ?? 0;
  const [problem, setProblem] = useState({ session: "", words: "" }); // of a session that went on from another
  if (!joined || !view?.own) return <p class="o-sum">{say("office.opening")}</p>;
  return (
    <div class="o-session">
      <Header view={view} joined={joined} token={token} />
      {problem.session === joined.session && <Wrong>{problem.words}</Wrong>}
      <TruthLine shown={shown} counted={shown.truth?.written ?? 0} entries />
      {shown.trouble && shown.truth?.up && (
        <section class="o-trouble">
          <Wrong>{sayFault(shown.trouble)}</Wrong>
          <button type="button" class="o-link" onClick={() => room.forgive()}>
            {say("page.close")}
          </button>
        </section>
      )}
      {row && (row.refilledMs > 0 || row.olderMs > 0) && <RefillCard token={token} row={row} phones={view.phones} again={sessions.again} />}
      {view.session.openedMs === 0 ? (
        refilledMs === 0 && <OpenIt room={room} name={joined.room} />
      ) : (
        <Open room={room} view={view} joined={joined} token={token} onProblem={(session, words) => setProblem({ session, words })} />
      )}
    </div>
  );
}

function Header({ view, joined, token }: { view: View; joined: Joined; token: string }): JSX.Element {
  const [problem, setProblem] = useState("");
  const s = view.session;
  const what = nameOf(joined.room, s.case);
  const here = view.phones.filter((p) => !p.left && p.station !== "" && p.station !== "office").length;
  const state =
    s.endedMs > 0
      ? say("office.ended", { from: clock(s.openedMs), to: clock(s.endedMs) })
      : s.openedMs > 0
        ? say("office.running", { time: clock(s.openedMs) })
        : say("office.not-open");
  return (
    <header class="o-head">
      <div>
        <h1>
          {what} {s.practice && <PracticeMark />}
        </h1>
        <p class="o-sum">
          {state} · {say("office.phones-n", { n: here })}
        </p>
      </div>
      {s.openedMs > 0 && (
        <p class="o-save">
          <span>{say("office.sheet")}</span>
          <Sheets token={token} session={joined.session} of={what} onProblem={setProblem} />
        </p>
      )}
      {problem !== "" && <Wrong>{problem}</Wrong>}
    </header>
  );
}

interface OpenProps {
  room: Room;
  view: View;
  joined: Joined;
  token: string;
  onProblem: (session: string, words: string) => void;
}

function Open({ room, view, joined, token, onProblem }: OpenProps): JSX.Element {
  const ended = view.session.endedMs > 0;
  return (
    <>
      {!ended && <Asks view={view} />}
      <Conflicts room={room} view={view} />
      <Figures room={room} view={view} />
      <div class="o-cols">
        <div class="o-col">
          <ZonesCard room={room} view={view} />
          <RegionsCard room={room} view={view} />
          <div class="o-row">
            <BudgetCard room={room} view={view} />
            <YieldCard room={room} view={view} />
            <FloorCard room={room} view={view} />
          </div>
          <KeepingCard room={room} view={view} />
          <NoteCard room={room} />
        </div>
        <div class="o-col">
          <Phones view={view} />
          {!ended && <Links token={token} joined={joined} />}
          <DayCard token={token} session={joined.session} view={view} />
          <Differences view={view} />
          <Punches room={room} view={view} />
          {!ended && <EndCard room={room} view={view} />}
          {ended && !view.session.practice && <AnotherDay {...{ room, view, joined, token, onProblem }} />}
        </div>
      </div>
      <LateTables room={room} view={view} />
    </>
  );
}

/** The tables are a part of their own: they come after the page. */
function LateTables(of: { room: Room; view: View }): JSX.Element | null {
  const [part, setPart] = useState<typeof import("./tables") | null>(null);
  const [failed, setFailed] = useState(false);
  useEffect(() => {
    import("./tables").then(setPart, () => setFailed(true));
  }, []);
  if (failed) return <Wrong>{say("office.tables-unloaded")}</Wrong>;
  return part && <part.Tables {...of} />;
}
