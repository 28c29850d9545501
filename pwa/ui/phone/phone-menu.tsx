// What a phone does besides counting: pause, note, hand over, carry, leave.
import "../parts/quality-words";
import "./rare-words";
import type { JSX } from "preact";
import { useContext, useState } from "preact/hooks";
import type { Fact, View } from "../../bridge/protocol.gen";
import { Dialog } from "../parts/dialog";
import { HoldButton } from "../parts/hold";
import { heldNow } from "../parts/pad";
import type { Room } from "../parts/room";
import { count, say, sayFault } from "../parts/say";
import { takeVersion, useVersion } from "../parts/version";
import { CarryIn, HandOut } from "./carry";
import { placeOf } from "./chosen";
import { EntryList } from "./entry-list";
import { HandOverSheet } from "./hand-over";
import { HeldList } from "./held";
import { LanguageChoice } from "./language-choice";
import { InspectSheet, LookSheet } from "./look-sheet";
import { OpeningSheet } from "./opening-sheet";
import { opens } from "./opens";
import { practise } from "./practise";
import { Practising } from "./practising";
import { SettingsSheet } from "./settings";

/** The menu behind the case code. */
export function PhoneMenu({ room, view, onClose }: { room: Room; view: View; onClose: () => void }): JSX.Element {
  const [text, setText] = useState("");
  const [wrong, setWrong] = useState("");
  const [list, setList] = useState(false);
  const [opening, setOpening] = useState(false);
  const [sheet, setSheet] = useState<"" | "look" | "inspect" | "hand" | "settings" | "held">("");
  const paused = view.pace.stations.find((s) => s.station === view.own.station)?.paused; // not known of desk and lead
  const practice = useContext(Practising);
  const tap = async (fact: Fact): Promise<void> => {
    const { fault } = await room.tap(fact);
    if (fault) setWrong(sayFault(fault));
    else onClose();
  };
  if (list) return <EntryList room={room} view={view} of={null} onClose={onClose} />;
  if (opening) return <OpeningSheet room={room} view={view} onClose={onClose} />;
  if (sheet === "hand") return <HandOverSheet room={room} view={view} onClose={onClose} />;
  if (sheet === "look") return <LookSheet room={room} view={view} onClose={onClose} />;
  if (sheet === "inspect") return <InspectSheet room={room} view={view} onClose={onClose} />;
  if (sheet === "settings") return <SettingsSheet station={view.own.station} onClose={onClose} />;
  if (sheet === "held") return <HeldList room={room} place={placeOf(view)} onClose={onClose} />;
  const held = heldNow().filter((h) => h.session === view.session.id && !h.counted).length;
  return (
    <Dialog title={say("phone.menu")} onClose={onClose}>
      {practice?.menu(onClose)}
      <p>
        <b>{say("phone.caseRoom", { case: view.session.case, room: view.session.room })}</b>
      </p>
      <button type="button" class="do first" onClick={() => setSheet("hand")}>
        {say("hand.open")}
      </button>
      <label class="field">
        <span>{say("phone.note")}</span>
        <input value={text} maxLength={500} autoComplete="off" onInput={(e) => setText(e.currentTarget.value)} />
        {wrong ? <span class="wrong">{wrong}</span> : null}
      </label>
      <div class="acts">
        <button type="button" class="do" onClick={() => void tap({ kind: "note", text })}>
          {say("phone.keepNote")}
        </button>
        {paused !== true ? (
          <button type="button" class="do" onClick={() => void tap({ kind: "paused" })}>
            {say("phone.pause")}
          </button>
        ) : null}
        {paused !== false ? (
          <button type="button" class="do" onClick={() => void tap({ kind: "resumed" })}>
            {say("phone.resume")}
          </button>
        ) : null}
      </div>
      <p class="quiet">{say("phone.ownCount", { n: count(view.own.count) })}</p>
      <button type="button" class="do entries-open" onClick={() => setList(true)}>
        {say("entries.title")}
      </button>
      <div class="acts">
        <button type="button" class="do" onClick={() => setSheet("settings")}>
          {say("set.open")}
        </button>
        {held > 0 ? (
          <button type="button" class="do" onClick={() => setSheet("held")}>
            {say("held.back", { n: held })}
          </button>
        ) : null}
      </div>
      {view.passes.length > 0 ? (
        <div class="acts">
          <button type="button" class="do" onClick={() => setSheet("look")}>
            {say("quality.look")}
          </button>
          <button type="button" class="do" onClick={() => setSheet("inspect")}>
            {say("quality.inspect")}
          </button>
        </div>
      ) : null}
      {opens(view.own.station) ? (
        <button type="button" class="do" onClick={() => setOpening(true)}>
          {say("opening.title")}
        </button>
      ) : null}
      {practice ? null : <Carrying room={room} />}
      {room.shown.unknown ? (
        <button type="button" class="do first" onClick={() => room.joinAgain(true)}>
          {say("phone.joinAgain")}
        </button>
      ) : null}
      {practice ? null : <Leaving room={room} view={view} />}
      <LanguageChoice />
      <NewVersion room={room} />
      <a class="do" href="/figures" target="_blank" rel="noreferrer">
        {say("phone.figures")}
      </a>
      <p class="quiet">{say("care")}</p>
    </Dialog>
  );
}

/** A new version that waits, and the way to have it at once: not while counts would be lost with this page. */
function NewVersion({ room }: { room: Room }): JSX.Element | null {
  if (!useVersion()) return null;
  const safe = (): boolean => !room.shown.inMemory && (room.shown.truth?.memory ?? 0) === 0;
  return (
    <section class="row">
      <p>{say("version.waits")}</p>
      {safe() ? (
        <button type="button" class="do" onClick={() => takeVersion(safe)}>
          {say("version.take")}
        </button>
      ) : null}
      <p class="quiet">{say(safe() ? "version.takeWhy" : "version.memory")}</p>
    </section>
  );
}

/** Counts that go by hand, out of this phone and into it. */
function Carrying({ room }: { room: Room }): JSX.Element {
  return (
    <>
      {room.shown.joined ? <HandOut room={room} joined={room.shown.joined} /> : null}
      <CarryIn room={room} />
    </>
  );
}

/** Nobody counts for real: nothing is counted yet, or the session has ended. */
const idle = (view: View): boolean =>
  view.session.endedMs > 0 ||
  (view.own.count === 0 && view.ledger.attempts.punched === 0 && view.ledger.out === 0 && view.ledger.placedTotal === 0);

/** The way out of the session, and, while nobody counts for real, into practice. */
function Leaving({ room, view }: { room: Room; view: View }): JSX.Element {
  const [failed, setFailed] = useState(false);
  const unsent = room.shown.truth?.unsent ?? 1;
  return (
    <>
      <HoldButton label={say("phone.leave")} disabled={unsent > 0} onHeld={() => room.leave()} />
      <p class="quiet">{unsent > 0 ? say("phone.leaveFirst", { n: unsent }) : say("phone.leaveWhy")}</p>
      {idle(view) ? (
        <button type="button" class="do" onClick={() => void practise().then((there) => setFailed(!there))}>
          {say("phone.practise")}
        </button>
      ) : null}
      {failed ? <p class="wrong">{say("page.partUnloaded")}</p> : null}
    </>
  );
}
