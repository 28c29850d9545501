// Joining: the phone looks at itself, then asks who holds it and where.
import type { JSX } from "preact";
import { useEffect, useState } from "preact/hooks";
import type { Joined } from "../../bridge/messages";
import type { Station } from "../../bridge/protocol.gen";
import type { Room, Shown } from "../parts/room";
import { type Key, say, sayFault, type Under } from "../parts/say";
import { Glyph, Mark } from "../parts/strokes";
import { HandOut } from "./carry";
import type { Invite } from "./invite";

const stations: readonly Station[] = ["extraction", "sorting", "sites", "placing", "desk", "lead"];

interface Step {
  state: "done" | "now" | "later";
  title: Key;
  words: Key;
}

/** What this phone can be trusted with, as it finds by looking at itself. */
function useSteps(): Step[] {
  const [kept, setKept] = useState(false);
  const [offline, setOffline] = useState(false);
  useEffect(() => {
    const asked = indexedDB.open("rootledger-look");
    asked.onsuccess = () => {
      asked.result.close();
      setKept(true);
    };
    navigator.serviceWorker?.ready.then(() => setOffline(true)).catch(() => undefined);
    void navigator.storage?.persist?.();
  }, []);
  return [
    { state: kept ? "done" : "now", title: "join.keeps", words: kept ? "join.keepsYes" : "join.keepsNo" },
    offline || window.isSecureContext
      ? { state: offline ? "done" : "later", title: "join.offline", words: offline ? "join.offlineYes" : "join.offlineWait" }
      : { state: "now", title: "join.offline", words: "join.plain" },
  ];
}

const glyphs = { done: "inroom", now: "ask", later: "todo" } as const;

interface JoinProps {
  room: Room;
  shown: Shown;
  invite: Invite;
  onCounting: () => void;
}

/** The page on which a phone joins, or joins again. */
export function JoinScreen({ room, shown, invite, onCounting }: JoinProps): JSX.Element {
  const steps = useSteps();
  const unsent = shown.truth?.unsent ?? 0;
  return (
    <main class="phone join">
      <header class="top">
        <Mark />
        <h1>{say("join.title")}</h1>
      </header>
      {shown.joined ? (
        <section class="ask">
          <Glyph of="ask" />
          <h2>{say(shown.unknown ? "phone.unknown" : "join.joinedAlready")}</h2>
          {unsent > 0 ? <p>{say("join.unsent", { n: unsent })}</p> : null}
          <button type="button" class="do" onClick={onCounting}>
            {say("join.back")}
          </button>
        </section>
      ) : (
        <ol class="steps">
          {steps.map((s) => (
            <li key={s.title} class={s.state}>
              <Glyph of={glyphs[s.state]} />
              <div>
                <h2>{say(s.title)}</h2>
                <p>{say(s.words)}</p>
              </div>
            </li>
          ))}
        </ol>
      )}
      <JoinForm room={room} invite={invite} before={shown.joined} onJoined={onCounting} />
      {shown.joined ? <HandOut room={room} joined={shown.joined} /> : null}
      <p class="quiet care">{say("care")}</p>
    </main>
  );
}

interface FormProps {
  room: Room;
  invite: Invite;
  before: Joined | null; // how this phone counts until now
  onJoined: () => void;
}

function JoinForm({ room, invite, before, onJoined }: FormProps): JSX.Element {
  const { office, session } = invite;
  const [code, setCode] = useState(invite.code);
  const [person, setPerson] = useState(before?.person ?? "");
  const [station, setStation] = useState<Station>(office ? "lead" : before && before.station !== "lead" ? before.station : "");
  const [wrong, setWrong] = useState<{ code?: string; person?: string; station?: string; all?: string }>({});
  const [busy, setBusy] = useState(false);
  const [leaves, setLeaves] = useState(false); // another session, of which some counts are only here
  const submit = async (e: Event, sure: boolean): Promise<void> => {
    e.preventDefault();
    const missing = {
      ...(code.replace(/[\s-]/g, "").length === 8 || office ? {} : { code: say("join.codeWrong") }),
      ...(person.trim() ? {} : { person: say("join.personWrong") }),
      ...(station ? (station === "lead" && !office ? { station: say("join.leadWrong") } : {}) : { station: say("join.stationWrong") }),
    };
    setWrong(missing);
    if (Object.keys(missing).length > 0) return;
    setBusy(true);
    const { fault } = await room.join({ ...(office ? { office, session } : { code }), person: person.trim(), station, sure });
    setBusy(false);
    if (fault) {
      setWrong({ all: sayFault(fault) });
      setLeaves(fault.code === "unsent-there");
      return;
    }
    history.replaceState(null, "", "/");
    onJoined();
  };
  return (
    <form class="form" onSubmit={(e) => submit(e, false)} noValidate>
      {office ? null : (
        <label class="field">
          <span>{say("join.code")}</span>
          <input
            class="code"
            value={code}
            autoComplete="off"
            autoCapitalize="characters"
            spellcheck={false}
            maxLength={9}
            aria-invalid={Boolean(wrong.code)}
            onInput={(e) => setCode(e.currentTarget.value.toUpperCase())}
          />
          {wrong.code ? <span class="wrong">{wrong.code}</span> : null}
        </label>
      )}
      <label class="field">
        <span>{say("join.person")}</span>
        <input
          value={person}
          autoComplete="nickname"
          maxLength={40}
          aria-invalid={Boolean(wrong.person)}
          onInput={(e) => setPerson(e.currentTarget.value)}
        />
        {wrong.person ? <span class="wrong">{wrong.person}</span> : null}
      </label>
      <fieldset>
        <legend>{say("join.station")}</legend>
        <div class="stations">
          {stations.map((s) => (
            <label key={s} class={s === station ? "on" : ""}>
              <input type="radio" name="station" checked={s === station} onChange={() => setStation(s)} />
              {say(`station.${s}` as Under<"station.">)}
            </label>
          ))}
        </div>
        {wrong.station ? <span class="wrong">{wrong.station}</span> : null}
      </fieldset>
      {wrong.all ? <p class="wrong">{wrong.all}</p> : null}
      {leaves ? (
        <button type="button" class="do" disabled={busy} onClick={(e) => submit(e, true)}>
          {say("join.sure")}
        </button>
      ) : null}
      <button type="submit" class="do first" disabled={busy}>
        {say(busy ? "join.busy" : "join.go")}
      </button>
    </form>
  );
}
