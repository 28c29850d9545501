// Joining: the phone looks at itself, then asks who holds it and where. Nothing
// here needs the internet, and without the room there is still something to do.
import "../parts/join-words";
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { Joined } from "../../bridge/messages";
import type { Station } from "../../bridge/protocol.gen";
import type { Room, Shown } from "../parts/room";
import { say, sayFault, type Under } from "../parts/say";
import { Glyph, Mark } from "../parts/strokes";
import { HandOut } from "../phone/carry";
import { type Invite, nobodysInvite } from "../phone/invite";
import { practise } from "../phone/practise";
import { useFound } from "./checks";
import { Scan } from "./scan";
import { homeFirst, Steps } from "./steps";

const stations: readonly Station[] = ["extraction", "sorting", "sites", "placing", "desk", "lead"];

interface JoinProps {
  room: Room;
  shown: Shown;
  invite: Invite;
  onCounting: () => void;
}

/** The page on which a phone joins, or joins again. */
export function JoinScreen({ room, shown, invite, onCounting }: JoinProps): JSX.Element {
  const found = useFound();
  const [here, setHere] = useState(false); // joins in the browser although the icon should come first
  const waits = !shown.joined && homeFirst(found) && !here;
  return (
    <main class="phone join">
      <header class="top">
        <Mark />
        <h1>{say("join.title")}</h1>
      </header>
      {shown.trouble?.code === "cleared" ? <Cleared /> : null}
      {found.room === "away" ? <Away /> : null}
      {shown.joined ? <JoinedAlready shown={shown} onCounting={onCounting} /> : <Steps found={found} />}
      {waits ? (
        <section class="instead">
          <button type="button" class="do" onClick={() => setHere(true)}>
            {say("join.here")}
          </button>
          <p class="quiet">{say("join.hereWhy")}</p>
        </section>
      ) : (
        <JoinForm room={room} invite={invite} before={shown.joined} camera={found.safe} onJoined={onCounting} />
      )}
      {shown.joined ? <HandOut room={room} joined={shown.joined} /> : <Practise />}
      <p class="quiet care">{say("care")}</p>
    </main>
  );
}

/** The browser cleared what this phone had kept. */
function Cleared(): JSX.Element {
  return (
    <section class="ask">
      <Glyph of="ask" />
      <h2>{say("join.cleared")}</h2>
      <p>{say("join.clearedWhy")}</p>
    </section>
  );
}

/** The room does not answer: why that may be, and that counts go on. */
function Away(): JSX.Element {
  return (
    <section class="unreached">
      <Glyph of="here" />
      <h2>{say("join.away")}</h2>
      <p>{say("join.awayWifi")}</p>
      <p>{say("join.awayCounts")}</p>
    </section>
  );
}

function JoinedAlready({ shown, onCounting }: { shown: Shown; onCounting: () => void }): JSX.Element {
  const unsent = shown.truth?.unsent ?? 0;
  return (
    <section class="ask">
      <Glyph of="ask" />
      <h2>{say(shown.unknown ? "phone.unknown" : "join.joinedAlready")}</h2>
      {unsent > 0 ? <p>{say("join.unsent", { n: unsent })}</p> : null}
      <button type="button" class="do" onClick={onCounting}>
        {say("join.back")}
      </button>
    </section>
  );
}

/** The way to practice, which needs no room. */
function Practise(): JSX.Element {
  const [failed, setFailed] = useState(false);
  return (
    <section class="instead">
      <h2>{say("join.practiseTitle")}</h2>
      <p class="quiet">{say("join.practiseWhy")}</p>
      <button type="button" class="do" onClick={() => void practise().then((there) => setFailed(!there))}>
        {say("join.practise")}
      </button>
      {failed ? <p class="wrong">{say("page.partUnloaded")}</p> : null}
    </section>
  );
}

interface FormProps {
  room: Room;
  invite: Invite;
  before: Joined | null; // how this phone counts until now
  camera: boolean; // the browser may lend one at this address
  onJoined: () => void;
}

/** What the form holds. */
interface Typed extends Invite {
  person: string;
  station: Station;
}

/** What was typed on a phone that has not joined: there again after practice. */
let typed: Typed | null = null;

const asked = (invite: Invite, before: Joined | null): Typed => ({
  ...invite,
  person: before?.person ?? "",
  station: invite.office ? "lead" : before && before.station !== "lead" ? before.station : "",
});

function JoinForm({ room, invite, before, camera, onJoined }: FormProps): JSX.Element {
  const [form, setForm] = useState(() => (!before && typed) || asked(invite, before));
  const { office, session, code, person, station } = form;
  const put = (part: Partial<Typed>): void =>
    setForm((f) => {
      const next = { ...f, ...part };
      if (!before) typed = next;
      return next;
    });
  const [scanning, scan] = useState(false);
  const [wrong, setWrong] = useState<{ code?: string; person?: string; station?: string; all?: string }>({});
  const [busy, setBusy] = useState(false);
  const [leaves, setLeaves] = useState(false); // another session, of which some counts are only here
  const take = (scanned: Invite): void => {
    scan(false);
    put({ ...scanned, ...(scanned.office ? { station: "lead" } : {}) });
  };
  const byCode = (): void => {
    setWrong({});
    put({ ...nobodysInvite, ...(station === "lead" ? { station: "" } : {}) });
  };
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
    typed = null;
    history.replaceState(null, "", "/");
    onJoined();
  };
  return (
    <form class="form" onSubmit={(e) => submit(e, false)} noValidate>
      {office ? (
        <button type="button" class="do" onClick={byCode}>
          {say("join.byCode")}
        </button>
      ) : (
        <div class="codes">
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
              onInput={(e) => put({ code: e.currentTarget.value.toUpperCase() })}
            />
            {wrong.code ? <span class="wrong">{wrong.code}</span> : null}
          </label>
          {camera ? (
            <button type="button" class="do" onClick={() => scan(true)}>
              {say("join.scan")}
            </button>
          ) : (
            <p class="quiet">{say("join.noScan")}</p>
          )}
        </div>
      )}
      {scanning ? <Scan onInvite={take} onClose={() => scan(false)} /> : null}
      <label class="field">
        <span>{say("join.person")}</span>
        <input
          value={person}
          autoComplete="nickname"
          maxLength={40}
          aria-invalid={Boolean(wrong.person)}
          onInput={(e) => put({ person: e.currentTarget.value })}
        />
        {wrong.person ? <span class="wrong">{wrong.person}</span> : null}
      </label>
      <fieldset>
        <legend>{say("join.station")}</legend>
        <div class="stations">
          {stations.map((s) => (
            <label key={s} class={s === station ? "on" : ""}>
              <input type="radio" name="station" checked={s === station} onChange={() => put({ station: s })} />
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
