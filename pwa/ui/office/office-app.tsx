// The office: today's sessions, and the one that is open here.
import "../parts/office-words";
import type { JSX } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";
import { endedLossy } from "../parts/lossy";
import { useNow } from "../parts/now";
import { Room, type Shown, useShown } from "../parts/room";
import { runs } from "../parts/runs";
import { clock, say } from "../parts/say";
import { Glyph, Mark } from "../parts/strokes";
import { Locked } from "./locked";
import { Lost } from "./lost";
import { nameOf } from "./names";
import { Setups } from "./punch-part";
import { SessionPage } from "./session-page";
import { type Sessions, useSessions } from "./sessions";
import { Today } from "./today";

const tokenKept = "rootledger-office";

/** The token that the link brings; it leaves the address at once. */
function takeToken(): string {
  const found = /^#([\w-]{16,})$/.exec(location.hash);
  if (!found) return sessionStorage.getItem(tokenKept) ?? "";
  history.replaceState(null, "", location.pathname + location.search);
  sessionStorage.setItem(tokenKept, found[1] ?? "");
  return found[1] ?? "";
}

function useToken(): [string, () => void] {
  const [token, set] = useState(takeToken);
  useEffect(() => {
    const again = (): void => set(takeToken());
    addEventListener("hashchange", again);
    return () => removeEventListener("hashchange", again);
  }, []);
  const forget = (): void => {
    sessionStorage.removeItem(tokenKept);
    set("");
  };
  return [token, forget];
}

/** A look that the address asks for: ?theme=dark or ?theme=light. */
function useTheme(): void {
  useEffect(() => {
    const theme = new URLSearchParams(location.search).get("theme");
    if (theme === "dark" || theme === "light") document.documentElement.dataset.theme = theme;
    document.title = say("office.title");
  }, []);
}

export function OfficeApp(): JSX.Element {
  const [token, forget] = useToken();
  const [refused, setRefused] = useState("");
  const started = useRef<Room | null>(null); // once it may; it outlives the link, which a server that lost its data makes anew
  useTheme();
  if (token === "") return <Locked why={refused} />;
  started.current ??= new Room({ do: "start", face: "office", mint: endedLossy() });
  return (
    <Office
      key={token}
      room={started.current}
      token={token}
      onRefused={(words) => {
        setRefused(words);
        forget();
      }}
    />
  );
}

type Page = "today" | "session" | "setups";

interface OfficeProps {
  room: Room;
  token: string;
  onRefused: (words: string) => void;
}

function Office({ room, token, onRefused }: OfficeProps): JSX.Element {
  const shown = useShown(room);
  const sessions = useSessions(token);
  const [page, setPage] = useState<Page>("today");
  useEffect(() => {
    if (sessions.refused !== "") onRefused(sessions.refused);
  }, [sessions.refused]);
  useEffect(() => runs(page !== "today"), [page]);
  return (
    <div class="o-page">
      <Side page={page} shown={shown} sessions={sessions} onPage={setPage} />
      <main>
        {shown.elsewhere && <Elsewhere room={room} />}
        <Lost room={room} shown={shown} token={token} sessions={sessions} onBack={() => setPage("session")} />
        {page === "setups" ? (
          <Setups room={room} shown={shown} token={token} />
        ) : page === "session" && shown.joined ? (
          <SessionPage room={room} shown={shown} token={token} sessions={sessions} />
        ) : (
          <Today room={room} shown={shown} token={token} sessions={sessions} onOpen={() => setPage("session")} />
        )}
      </main>
    </div>
  );
}

function Elsewhere({ room }: { room: Room }): JSX.Element {
  return (
    <section class="ask">
      <Glyph of="ask" />
      <h2>{say("page.elsewhere")}</h2>
      <p>{say("office.elsewhere")}</p>
      <button type="button" class="do" onClick={() => room.steal()}>
        {say("office.work-here")}
      </button>
    </section>
  );
}

interface SideProps {
  page: Page;
  shown: Shown;
  sessions: Sessions;
  onPage: (page: Page) => void;
}

function Side({ page, shown, sessions, onPage }: SideProps): JSX.Element {
  const now = useNow(10_000);
  const open = shown.joined;
  const code = shown.view?.session?.case || sessions.rows?.find((r) => r.session === open?.session)?.case || "";
  const link = (to: Page, words: string): JSX.Element => (
    <li>
      <button type="button" aria-current={page === to ? "page" : undefined} onClick={() => onPage(to)}>
        {words}
      </button>
    </li>
  );
  return (
    <nav class="o-side" aria-label={say("office.title")}>
      <p class="o-name">
        <Mark />
        <span>Rootledger</span>
      </p>
      <ul>
        {link("today", say("office.today"))}
        {open && link("session", nameOf(open.room, code))}
        {link("setups", say("office.setups"))}
        <li>
          <a href="/figures" target="_blank" rel="noreferrer">
            {say("phone.figures")}
          </a>
        </li>
      </ul>
      <p class="quiet o-who">
        {open && <span>{open.person}</span>}
        <span>{say("office.time", { time: clock(now) })}</span>
        <span>{say("office.keys")}</span>
      </p>
    </nav>
  );
}
