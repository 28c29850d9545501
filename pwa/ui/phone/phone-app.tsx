// A phone: join once, then its station, with or without a network.
import type { FunctionComponent, JSX } from "preact";
import { useEffect, useState } from "preact/hooks";
import type { View } from "../../bridge/protocol.gen";
import { CountsIn } from "../parts/at-once";
import { wear } from "../parts/habits";
import { endedLossy } from "../parts/lossy";
import { Room, type Shown, useShown } from "../parts/room";
import { runs } from "../parts/runs";
import { say } from "../parts/say";
import { complete } from "../parts/shown";
import { Glyph, Mark } from "../parts/strokes";
import { ExtractionScreen } from "./extraction-screen";
import { nobodysInvite, readInvite } from "./invite";
import { DeskScreen, fetchRare, Hands } from "./later";
import { PlacingScreen } from "./placing-screen";
import { SitesScreen } from "./sites-screen";
import { SortingScreen } from "./sorting-screen";

/** What a station draws from. */
export interface StationProps {
  room: Room;
  shown: Shown;
  view: View;
}

type Screen = FunctionComponent<StationProps>;

/** A screen that is a part of its own, for a phone that counts may never show it. */
function part<P extends object>(load: () => Promise<FunctionComponent<P>>): FunctionComponent<P> {
  return function Part(props: P) {
    const [got, set] = useState<{ Screen: FunctionComponent<P> } | "failed" | null>(null);
    useEffect(() => {
      load().then(
        (Screen) => set({ Screen }),
        () => set("failed"),
      );
    }, []);
    if (got === "failed") return <Starting words={say("page.unloaded")} />;
    return got ? <got.Screen {...props} /> : <Starting />;
  };
}

const Lead = part(() => import("../lead/lead-screen").then((m) => m.LeadScreen));
const Practice = part(() => import("../practice/practice-app").then((m) => m.PracticeApp));
const JoinScreen = part(() => import("../join/join-screen").then((m) => m.JoinScreen));

const screens: Partial<Record<string, Screen>> = {
  extraction: ExtractionScreen,
  sorting: SortingScreen,
  sites: SitesScreen,
  placing: PlacingScreen,
  lead: Lead,
  desk: DeskScreen,
};

/** The phone's page. */
export function PhoneApp(): JSX.Element {
  const [invite, setInvite] = useState(readInvite);
  const [room] = useState(() => new Room({ do: "start", face: "phone", mint: endedLossy() }));
  const shown = useShown(room);
  const [practising, setPractising] = useState(inPractice);
  const ended = (shown.view?.session?.endedMs ?? 0) > 0 && shown.truth?.unsent === 0;
  const atRest = shown.ready && !practising && (shown.elsewhere || !shown.joined || ended); // elsewhere: another page says that it runs
  useEffect(() => runs(!atRest), [atRest]);
  useState(wear); // before the first drawing
  useEffect(() => {
    addEventListener("popstate", () => setPractising(inPractice()));
    fetchRare().catch(() => undefined); // whoever opens one of its sheets asks again, and is told
  }, []);
  if (practising) return <Practice Counting={Counting} />;
  if (shown.elsewhere) return <Elsewhere room={room} />;
  if (!shown.ready) return <Starting />;
  if (!shown.joined || shown.joining || invite.code !== "" || invite.office !== "") {
    const counting = (): void => {
      setInvite(nobodysInvite);
      room.joinAgain(false);
    };
    return <JoinScreen room={room} shown={shown} invite={invite} onCounting={counting} />;
  }
  return <Counting room={room} shown={shown} />;
}

/** Practice has an address of its own; what this phone really counts waits behind it as it is. */
const inPractice = (): boolean => location.pathname === "/practice";

/** The screen of the station that this phone joined at. */
function Counting({ room, shown }: { room: Room; shown: Shown }): JSX.Element {
  if (!shown.joined || !complete(shown.view)) return <Starting />;
  const Screen = screens[shown.joined.station] ?? DeskScreen;
  return (
    <CountsIn.Provider value={room}>
      <Hands station={shown.view.own.station} />
      <Screen room={room} shown={shown} view={shown.view} />
    </CountsIn.Provider>
  );
}

function Starting({ words = say("page.starting") }: { words?: string }): JSX.Element {
  return (
    <main class="phone plain">
      <Mark />
      <h1>{words}</h1>
    </main>
  );
}

/** Another tab of this phone counts: one writer a phone. */
function Elsewhere({ room }: { room: Room }): JSX.Element {
  return (
    <main class="phone plain">
      <section class="ask">
        <Glyph of="ask" />
        <h1>{say("page.elsewhere")}</h1>
        <p>{say("page.elsewhereWhy")}</p>
        <button type="button" class="do" onClick={() => room.steal()}>
          {say("page.countHere")}
        </button>
      </section>
    </main>
  );
}
