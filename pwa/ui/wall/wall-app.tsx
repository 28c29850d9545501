// The wall of a room: it shows, and has nothing to press.
import "../parts/wall-words";
import type { JSX } from "preact";
import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import { useNow } from "../parts/now";
import { Room, type Shown, useShown } from "../parts/room";
import { runs } from "../parts/runs";
import { clock, count, say } from "../parts/say";
import { spent } from "../parts/spent";
import { Still } from "../parts/still";
import { Enough } from "./enough";
import { useSpace } from "./fit";
import { Frame, Head } from "./frame";
import { Joining } from "./joining";
import { Lost } from "./lost";
import { Running } from "./running";
import { type Sheet, sheetOf, sightOf } from "./sheet";
import { Waiting } from "./waiting";

const downMs = 6_000; // without a connection
const silentMs = 12_000; // the server speaks every 5 s

/** Whether what is shown is old, and as of when it was true (0: never heard). */
function useLost(shown: Shown): { lost: boolean; asOfMs: number } {
  const now = useNow();
  const upMs = useRef(now);
  const t = shown.truth;
  if (!shown.room || t?.up) upMs.current = now;
  const lost = now - upMs.current > downMs || (t !== null && t.heardMs > 0 && now - t.heardMs > silentMs);
  return { lost: lost && Boolean(shown.room), asOfMs: t?.heardMs ?? 0 };
}

/** A look that the address asks for: ?theme=dark or ?theme=light. */
function useTheme(): void {
  useEffect(() => {
    const theme = new URLSearchParams(location.search).get("theme");
    if (theme === "dark" || theme === "light") document.documentElement.dataset.theme = theme;
  }, []);
}

/** Whether anything was counted yet: until then the wall helps phones to join. */
function begun(view: NonNullable<Shown["view"]>): boolean {
  const l = view.ledger;
  return l.attempts.punched > 0 || l.outcomesTotal > 0 || l.judged > 0 || l.placedTotal > 0 || view.zones.some((z) => z.sitesTotal > 0);
}

export function WallApp({ room: name }: { room: string }): JSX.Element {
  const [room] = useState(() => new Room({ do: "watch", room: name }));
  const shown = useShown(room);
  const { lost, asOfMs } = useLost(shown);
  useTheme();
  const now = shown.room;
  const view = shown.view;
  const atRest = now === null || (view?.session?.endedMs ?? 0) > 0;
  useEffect(() => runs(!atRest), [atRest]);
  const practice = Boolean(now && (now.practice || view?.session?.practice));
  useSpace(); // another size of the screen is another sheet
  const [sight, asked, wide, high] = [now?.sight, location.search, innerWidth, innerHeight];
  const sheet = useMemo(() => sheetOf(sightOf(sight, asked), wide, high), [sight, asked, wide, high]);
  return (
    <Frame key={sheet.times} practice={practice} lost={lost} times={sheet.times}>
      <Still of={[name, now, view, practice, sheet]}>{() => <Face name={name} shown={shown} practice={practice} sheet={sheet} />}</Still>
      {lost && <Lost asOf={asOfMs === 0 ? "" : clock(asOfMs)} />}
    </Frame>
  );
}

interface FaceProps {
  name: string;
  shown: Shown;
  practice: boolean;
  sheet: Sheet;
}

function Face({ name, shown, practice, sheet }: FaceProps): JSX.Element {
  const { room: now, view } = shown;
  const roomLabel = say("wall.room", { room: name });
  if (!now) return <Waiting of={now === undefined ? "server" : "session"} label={roomLabel} />;
  const opened = view?.session ? view.session.openedMs > 0 : false;
  if (!view?.headline || (now.openedMs > 0 && !opened)) return <Waiting of="counts" label={now.case || roomLabel} practice={practice} />;
  const label = view.session.case || roomLabel;
  if (view.session.endedMs > 0) {
    return (
      <>
        <Head head="wall.ended" with={{ time: clock(view.session.endedMs) }} label={label} practice={practice} />
        <Running view={view} code="" sheet={sheet} />
      </>
    );
  }
  if (!opened || !begun(view)) return <Joining now={now} view={view} label={label} practice={practice} sheet={sheet} />;
  const h = view.headline;
  const code = now.refilledMs > 0 || now.olderMs > 0 ? now.code : "";
  return (
    <>
      {spent(view) ? (
        <Head head="wall.no-more" label={label} practice={practice} />
      ) : h.budgetKnown && h.toTake === 0 ? (
        <Enough view={view} label={label} practice={practice} />
      ) : h.budgetKnown ? (
        <Head head="wall.to-take" with={{ n: count(h.toTake) }} label={label} practice={practice} />
      ) : (
        <Head head="wall.no-budget" label={label} practice={practice} />
      )}
      <Running view={view} code={code} sheet={sheet} />
    </>
  );
}
