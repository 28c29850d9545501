// Today: the sessions that run or ran, their sheets, and starting one.
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { Room, Shown } from "../parts/room";
import { dayOf, say, sayFault } from "../parts/say";
import type { SessionRow } from "./api";
import { Field, Wrong } from "./field";
import { usePerson } from "./person";
import { SessionTable } from "./session-table";
import type { Sessions } from "./sessions";
import { Start } from "./start";

interface TodayProps {
  room: Room;
  shown: Shown;
  token: string;
  sessions: Sessions;
  onOpen: () => void;
}

/** Joins a session as the office; null when done, else why not. */
export async function enter(room: Room, token: string, session: string, person: string): Promise<string | null> {
  if (!(await comes(room, (s) => s.ready))) return say("office.starting");
  const { elsewhere, joined, truth } = room.shown;
  if (elsewhere) return say("office.elsewhere");
  if (joined?.session === session) return null;
  if (joined && truth && truth.unsent > 0) return say("office.unsent", { n: truth.unsent });
  const { fault } = await room.join({ office: token, session, person, station: "office" });
  if (fault) return sayFault(fault);
  await comes(room, (s) => s.joined?.session === session); // what is said to the engine before would be lost
  return null;
}

const patienceMs = 10_000;

/** Waits until something is shown; false when it does not come. */
function comes(room: Room, is: (shown: Shown) => boolean): Promise<boolean> {
  return new Promise((resolve) => {
    const look = (over = false): void => {
      const there = is(room.shown);
      if (!there && !over) return;
      clearTimeout(timer);
      stop();
      resolve(there);
    };
    const timer = setTimeout(() => look(true), patienceMs);
    const stop = room.watch(() => look());
    look();
  });
}

const isToday = (r: SessionRow): boolean =>
  r.endedMs === 0 || new Date(r.openedMs || r.createdMs).toDateString() === new Date().toDateString();

export function Today({ room, shown, token, sessions, onOpen }: TodayProps): JSX.Element {
  const [person, setPerson] = usePerson();
  const [personWrong, setPersonWrong] = useState("");
  const [problem, setProblem] = useState("");
  const rows = sessions.rows ?? [];
  const practised = rows.filter((r) => r.practice && r.endedMs > 0); // made-up days, one after the other
  const others = rows.filter((r) => !practised.includes(r));
  const today = others.filter(isToday);
  const earlier = others.filter((r) => !isToday(r));
  const type = (name: string): void => {
    setPerson(name);
    setPersonWrong("");
  };
  const named = (): boolean => {
    setPersonWrong(person.trim() === "" ? say("office.person-needed") : "");
    return person.trim() !== "";
  };
  const open = async (session: string): Promise<void> => {
    if (shown.joined?.session !== session && !named()) return;
    const why = await enter(room, token, session, person.trim());
    setProblem(why ?? "");
    if (why === null) onOpen();
  };
  const table = (list: SessionRow[], caption: string): JSX.Element => (
    <SessionTable token={token} rows={list} caption={caption} onProblem={setProblem} onOpen={(r) => void open(r.session)} />
  );
  const folded = (list: SessionRow[], summary: string, caption: string): JSX.Element | null =>
    list.length === 0 ? null : (
      <details class="o-earlier">
        <summary>{summary}</summary>
        {table(list, caption)}
      </details>
    );
  return (
    <>
      <header class="o-head">
        <div>
          <h1>{dayOf(Date.now())}</h1>
          <p class="o-sum">{summary(sessions.rows)}</p>
        </div>
        <Field label={say("office.person")} value={person} most={40} error={personWrong} onInput={type} />
      </header>
      {sessions.problem !== "" && <Wrong>{sessions.problem}</Wrong>}
      {problem !== "" && <Wrong>{problem}</Wrong>}
      {today.length > 0 && table(today, say("office.today"))}
      {sessions.rows !== null && today.length === 0 && <Empty />}
      <div class="o-cols">
        <Start room={room} token={token} person={person.trim()} named={named} again={sessions.again} onOpen={onOpen} />
      </div>
      {folded(earlier, say("office.earlier", { n: earlier.length }), say("office.earlier-caption"))}
      {folded(practised, say("office.practised", { n: practised.length }), say("office.practised-caption"))}
    </>
  );
}

function summary(rows: SessionRow[] | null): string {
  if (rows === null) return say("office.looking");
  const running = rows.filter((r) => r.openedMs > 0 && r.endedMs === 0 && !r.practice).length;
  return running === 0 ? say("office.none-runs") : say("office.runs", { n: running });
}

function Empty(): JSX.Element {
  return (
    <section class="o-empty">
      <svg viewBox="0 0 120 60" aria-hidden="true">
        <path
          fill="none"
          stroke="currentColor"
          stroke-width="1.5"
          stroke-dasharray="3 3"
          d="M10 10.05L21 4V44H10ZM34 10.05L45 4V44H34ZM58 10.05L69 4V44H58ZM82 10.05L93 4V44H82Z"
        />
        <path fill="currentColor" d="M0 46H120V50H0Z" />
      </svg>
      <div>
        <h2>{say("office.empty")}</h2>
        <p>{say("office.empty-how")}</p>
      </div>
    </section>
  );
}
