// Practice: every screen of a phone against a made-up session that runs on this
// phone alone. It has a worker, a store and a room of its own, so what is
// counted for real is neither touched nor seen.
import "../parts/practice-words";
import type { FunctionComponent, JSX } from "preact";
import { useEffect, useState } from "preact/hooks";
import type { Station } from "../../bridge/protocol.gen";
import { type Room, type Shown, useShown } from "../parts/room";
import { say, type Under } from "../parts/say";
import { Mark } from "../parts/strokes";
import { forget } from "../phone/chosen";
import { Guide } from "./guide";
import { castFor } from "./made-up";
import { PracticeRoom } from "./practice-room";
import { Watermark } from "./watermark";

const stations: readonly Station[] = ["extraction", "sorting", "sites", "placing", "desk", "lead"];

/** Back to what was before. */
function leave(): void {
  history.replaceState(null, "", "/");
  dispatchEvent(new PopStateEvent("popstate"));
}

/** What screens remember beside the session is forgotten with it. */
const forgetChoices = ({ shown }: Room): void => forget(shown.joined?.session ?? "");

interface PracticeProps {
  Counting: FunctionComponent<{ room: Room; shown: Shown }>; // the screens of all stations
}

export function PracticeApp({ Counting }: PracticeProps): JSX.Element {
  const [room] = useState(() => new PracticeRoom());
  const [picking, setPicking] = useState(false);
  const shown = useShown(room);
  useEffect(
    () => () => {
      forgetChoices(room);
      room.end();
    },
    [],
  );
  const begin = async (station: Station): Promise<void> => {
    forgetChoices(room);
    await room.practise(castFor(station), say("practice.you"), station);
    setPicking(false);
  };
  return (
    <>
      <Practising room={room} shown={shown} picking={picking} onPick={begin} onOther={() => setPicking(true)} Counting={Counting} />
      <Watermark />
    </>
  );
}

interface PractisingProps extends PracticeProps {
  room: PracticeRoom;
  shown: Shown;
  picking: boolean;
  onPick: (station: Station) => Promise<void>;
  onOther: () => void;
}

function Practising({ room, shown, picking, onPick, onOther, Counting }: PractisingProps): JSX.Element {
  if (shown.elsewhere) return <Page title={say("practice.elsewhere")} />;
  if (!shown.ready) return <Page title={say("page.starting")} />;
  if (!shown.joined || picking) return <Pick onPick={onPick} />;
  const { session, station } = shown.joined;
  return (
    <Guide key={session} room={room} shown={shown} station={station} onOther={onOther} onLeave={leave}>
      <Counting room={room} shown={shown} />
    </Guide>
  );
}

/** Which station is practised. */
function Pick({ onPick }: { onPick: (station: Station) => Promise<void> }): JSX.Element {
  const [busy, setBusy] = useState(false);
  const pick = (station: Station): void => {
    setBusy(true);
    void onPick(station);
  };
  return (
    <Page title={say("practice.pick")}>
      <p>{say("practice.madeUp")}</p>
      <div class="stations">
        {stations.map((station) => (
          <button type="button" class="do" key={station} disabled={busy} onClick={() => pick(station)}>
            {say(`station.${station}` as Under<"station.">)}
          </button>
        ))}
      </div>
    </Page>
  );
}

function Page({ title, children }: { title: string; children?: JSX.Element | JSX.Element[] }): JSX.Element {
  return (
    <main class="phone join practice-page">
      <header class="top">
        <Mark />
        <h1>{title}</h1>
      </header>
      {children}
      <button type="button" class="do leave" onClick={leave}>
        {say("practice.leave")}
      </button>
    </main>
  );
}
