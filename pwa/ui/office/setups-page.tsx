// The office's set-ups: the clinic's own, drawn to one scale, to change, to
// retire, and to put into the session that is open here.
import "../parts/punch-words";
import type { JSX } from "preact";
import { useEffect, useState } from "preact/hooks";
import type { Setup, View } from "../../bridge/protocol.gen";
import { useBusy } from "../parts/busy";
import type { Room, Shown } from "../parts/room";
import { dayOf, say, sayFault } from "../parts/say";
import { fullOf } from "../punch/cycle";
import { Drawing } from "../punch/drawing";
import { wordsOf } from "./api";
import { Wrong } from "./field";
import { Editor } from "./setup-editor";
import { draftsOf, factOf, listSetups, retireSetup, type Saved, saveSetup } from "./setup-saved";

/** The list and what follows from each; null until the server has answered. */
function useSaved(room: Room, token: string): { rows: Saved[] | null; drafts: Map<number, Setup>; problem: string; again: () => void } {
  const [rows, setRows] = useState<Saved[] | null>(null);
  const [drafts, setDrafts] = useState(new Map<number, Setup>());
  const [problem, setProblem] = useState("");
  const look = async (): Promise<void> => {
    try {
      const got = await listSetups(token);
      setRows(got);
      setProblem("");
      setDrafts(await draftsOf(room, got));
    } catch (error) {
      setProblem(wordsOf(error));
    }
  };
  useEffect(() => void look(), [token]);
  return { rows, drafts, problem, again: () => void look() };
}

export function SetupsPage({ room, shown, token }: { room: Room; shown: Shown; token: string }): JSX.Element {
  const saved = useSaved(room, token);
  const [open, setOpen] = useState<number | null>(null); // the one that is changed, 0 for a new one
  const inUse = saved.rows?.filter((r) => r.retiredMs === 0) ?? [];
  const retired = saved.rows?.filter((r) => r.retiredMs > 0) ?? [];
  const full = fullOf(inUse.map((r) => saved.drafts.get(r.id)?.derived.cycleMs ?? 0));
  const close = (): void => {
    setOpen(null);
    saved.again();
  };
  return (
    <>
      <header class="o-head">
        <div>
          <h1>{say("punch.title")}</h1>
          <p class="o-sum">{say("punch.lead")}</p>
        </div>
        {open === null && (
          <button type="button" class="do first" onClick={() => setOpen(0)}>
            {say("punch.new")}
          </button>
        )}
      </header>
      {saved.problem !== "" && <Wrong>{saved.problem}</Wrong>}
      {open === 0 && <Editor room={room} token={token} of={null} onLeave={close} />}
      {saved.rows !== null && inUse.length === 0 && open === null && <p class="o-sum">{say("punch.none")}</p>}
      {inUse.map((one) =>
        open === one.id ? (
          <Editor key={one.id} room={room} token={token} of={one} onLeave={close} />
        ) : (
          <One
            key={one.id}
            room={room}
            view={shown.joined ? shown.view : null}
            token={token}
            of={one}
            draft={saved.drafts.get(one.id)}
            fullMs={full}
            onOpen={() => setOpen(one.id)}
            again={saved.again}
          />
        ),
      )}
      {retired.length > 0 && <Retired token={token} of={retired} again={saved.again} />}
      <p class="quiet">{say("punch.care")}</p>
    </>
  );
}

interface OneProps {
  room: Room;
  view: View | null;
  token: string;
  of: Saved;
  draft: Setup | undefined;
  fullMs: number;
  onOpen: () => void;
  again: () => void;
}

function One({ room, view, token, of, draft, fullMs, onOpen, again }: OneProps): JSX.Element {
  const [problem, setProblem] = useState("");
  const [busy, run] = useBusy();
  const retire = (): Promise<void> => retireSetup(token, of.id).then(again, (error: unknown) => setProblem(wordsOf(error)));
  return (
    <article class="o-card setup-one" aria-label={of.name}>
      <header>
        <h2>{of.name}</h2>
        <button type="button" class="o-link" aria-label={say("punch.change-what", { what: of.name })} onClick={onOpen}>
          {say("punch.change")}
        </button>
        <button
          type="button"
          class="o-link"
          disabled={busy}
          aria-label={say("punch.retire-what", { what: of.name })}
          onClick={() => run(retire)}
        >
          {say("punch.retire")}
        </button>
      </header>
      {problem !== "" && <Wrong>{problem}</Wrong>}
      {draft && <Drawing room={room} of={draft} fullMs={fullMs} />}
      {view && draft && <IntoSession room={room} view={view} of={of} draft={draft} />}
    </article>
  );
}

/** All of a set-up but who it is in the session. */
const same = (a: Setup, b: Setup): boolean =>
  JSON.stringify({ ...a, ref: "", replaces: "", offered: true }) === JSON.stringify({ ...b, ref: "", replaces: "", offered: true });

/** Puts a saved set-up into the session that is open here; one of the same name that differs is replaced. */
function IntoSession({ room, view, of, draft }: { room: Room; view: View; of: Saved; draft: Setup }): JSX.Element | null {
  const [wrong, setWrong] = useState("");
  const [busy, run] = useBusy();
  const there = view.setups.find((s) => s.offered && s.name === of.name);
  const put = async (): Promise<void> => {
    const { fault } = await room.tap(factOf(of, there?.ref ?? ""));
    setWrong(fault ? sayFault(fault) : "");
  };
  if (view.session.openedMs === 0 || view.session.endedMs > 0) return null;
  const session = say("office.room-case", { room: view.session.room, case: view.session.case });
  return (
    <p class="o-acts">
      {there && same(there, draft) ? (
        <span class="o-kept" role="status">
          {say("punch.in-session", { session })}
        </span>
      ) : (
        <button type="button" class="do" disabled={busy} onClick={() => run(put)}>
          {say(there ? "punch.replace" : "punch.put", { session })}
        </button>
      )}
      {wrong !== "" && <Wrong>{wrong}</Wrong>}
    </p>
  );
}

/** Those out of use, which can come back. */
function Retired({ token, of, again }: { token: string; of: readonly Saved[]; again: () => void }): JSX.Element {
  const [problem, setProblem] = useState("");
  const back = (one: Saved): void => {
    saveSetup(token, one).then(
      () => {
        setProblem("");
        again();
      },
      (error: unknown) => setProblem(wordsOf(error)),
    );
  };
  return (
    <details class="o-earlier">
      <summary>{say("punch.retired", { n: of.length })}</summary>
      {problem !== "" && <Wrong>{problem}</Wrong>}
      <ul class="o-list">
        {of.map((one) => (
          <li key={one.id} class="o-entry">
            <p>
              {one.name} <span class="quiet">{say("punch.retired-on", { day: dayOf(one.retiredMs) })}</span>
            </p>
            <button type="button" class="o-link" aria-label={say("punch.back-what", { what: one.name })} onClick={() => back(one)}>
              {say("punch.back")}
            </button>
          </li>
        ))}
      </ul>
    </details>
  );
}
