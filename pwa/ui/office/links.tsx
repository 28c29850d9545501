// How others come in: the address and the code for phones, and the wall's address.
import type { JSX } from "preact";
import { useEffect, useState } from "preact/hooks";
import type { Joined, RoomNow } from "../../bridge/messages";
import { originFor } from "../parts/origin";
import { clock, say } from "../parts/say";
import { roomNow, wordsOf } from "./api";
import { Wrong } from "./field";
import { SightForm } from "./sight";

const everyMs = 20_000;

/** What runs in the room, with its code, asked for again and again. */
function useRoom(token: string, room: string): [RoomNow | null, string] {
  const [now, set] = useState<RoomNow | null>(null);
  const [problem, setProblem] = useState("");
  useEffect(() => {
    const look = (): void => {
      roomNow(token, room).then(
        (answer) => {
          set(answer);
          setProblem("");
        },
        (error: unknown) => setProblem(wordsOf(error)),
      );
    };
    look();
    const timer = setInterval(look, everyMs);
    return () => clearInterval(timer);
  }, [token, room]);
  return [now, problem];
}

export function Links({ token, joined }: { token: string; joined: Joined }): JSX.Element {
  const [now, problem] = useRoom(token, joined.room);
  const code = now?.session === joined.session ? now.code : "";
  const { origin, reached } = originFor(now);
  const join = `${origin}/join/${code}`;
  const lead = `${origin}/join/?session=${joined.session}#${token}`;
  const [showing, setShowing] = useState(false);
  return (
    <section class="o-card">
      <h2>{say("office.links")}</h2>
      {now && !reached && <p class="o-warn">{say("office.links-local")}</p>}
      {problem !== "" && <Wrong>{problem}</Wrong>}
      {code !== "" && (
        <div class="o-join">
          <Qr of={join} />
          <div>
            <p>{say("office.join-lead")}</p>
            <p class="o-joincode" dir="ltr">
              {code.slice(0, 4)} {code.slice(4)}
            </p>
            <p class="quiet">{say("office.code-until", { time: clock(now?.codeUntilMs ?? 0) })}</p>
          </div>
        </div>
      )}
      {now && now.session !== joined.session && <p class="quiet">{say("office.room-other")}</p>}
      <Address label={say("office.phone-address")} of={code === "" ? origin : join} />
      <Address label={say("office.lead-address")} of={lead} />
      <details class="o-leadcode" onToggle={(e) => setShowing(e.currentTarget.open)}>
        <summary>{say("office.lead-code")}</summary>
        {showing && (
          <div class="o-join">
            <Qr of={lead} />
          </div>
        )}
      </details>
      <p class="quiet">{say("office.lead-care")}</p>
      <Address label={say("office.wall-address")} of={`${origin}/wall/${encodeURIComponent(joined.room)}`} />
      {now ? <SightForm token={token} room={joined.room} now={now.sight} /> : null}
    </section>
  );
}

/** An address for a camera. */
function Qr({ of }: { of: string }): JSX.Element {
  return (
    <figure data-theme="light">
      <img src={`/qr.svg?text=${encodeURIComponent(of)}`} alt={say("office.qr", { address: of })} />
    </figure>
  );
}

/** An address to open or to copy. */
function Address({ label, of }: { label: string; of: string }): JSX.Element {
  const [copied, setCopied] = useState(false);
  const copy = (): void => {
    navigator.clipboard?.writeText(of).then(
      () => setCopied(true),
      () => setCopied(false),
    );
  };
  return (
    <p class="o-address">
      <span class="quiet">{label}</span>
      <a href={of} target="_blank" rel="noreferrer" dir="ltr">
        {of}
      </a>
      {"clipboard" in navigator && (
        <button type="button" class="o-link" aria-label={say("office.copy-what", { what: label })} onClick={copy}>
          {say(copied ? "office.copied" : "office.copy")}
        </button>
      )}
    </p>
  );
}
