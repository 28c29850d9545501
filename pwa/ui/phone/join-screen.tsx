// Joining: the phone looks at itself, then asks who holds it and where.
import type { JSX } from "preact";
import { useEffect, useState } from "preact/hooks";
import type { Station } from "../../bridge/protocol.gen";
import type { Room } from "../parts/room";
import { type Key, say, sayFault } from "../parts/say";
import { Glyph, Mark } from "../parts/strokes";

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

/** The page on which a phone joins. code is the one in its address. */
export function JoinScreen({ room, code, onJoined }: { room: Room; code: string; onJoined: () => void }): JSX.Element {
  const steps = useSteps();
  return (
    <main class="phone join">
      <header class="top">
        <Mark />
        <h1>{say("join.title")}</h1>
      </header>
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
      <JoinForm room={room} code={code} onJoined={onJoined} />
      <p class="quiet care">{say("care")}</p>
    </main>
  );
}

function JoinForm({ room, code: given, onJoined }: { room: Room; code: string; onJoined: () => void }): JSX.Element {
  const office = location.hash.slice(1);
  const session = new URLSearchParams(location.search).get("session") ?? "";
  const [code, setCode] = useState(given);
  const [person, setPerson] = useState("");
  const [station, setStation] = useState<Station>(office ? "lead" : "");
  const [wrong, setWrong] = useState<{ code?: string; person?: string; station?: string; all?: string }>({});
  const [busy, setBusy] = useState(false);
  const submit = async (e: Event): Promise<void> => {
    e.preventDefault();
    const missing = {
      ...(code.replace(/[\s-]/g, "").length === 8 || office ? {} : { code: say("join.codeWrong") }),
      ...(person.trim() ? {} : { person: say("join.personWrong") }),
      ...(station ? (station === "lead" && !office ? { station: say("join.leadWrong") } : {}) : { station: say("join.stationWrong") }),
    };
    setWrong(missing);
    if (Object.keys(missing).length > 0) return;
    setBusy(true);
    const { fault } = await room.join({ ...(office ? { office, session } : { code }), person: person.trim(), station });
    setBusy(false);
    if (fault) {
      setWrong({ all: sayFault(fault) });
      return;
    }
    history.replaceState(null, "", "/");
    onJoined();
  };
  return (
    <form class="form" onSubmit={submit} noValidate>
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
              {say(`station.${s}` as Key)}
            </label>
          ))}
        </div>
        {wrong.station ? <span class="wrong">{wrong.station}</span> : null}
      </fieldset>
      {wrong.all ? <p class="wrong">{wrong.all}</p> : null}
      <button type="submit" class="do first" disabled={busy}>
        {say(busy ? "join.busy" : "join.go")}
      </button>
    </form>
  );
}
