// A session that phones refill, because the server lost some of it: what nobody
// has brought back yet, and the end of it.
import type { JSX } from "preact";
import { useEffect, useState } from "preact/hooks";
import type { Phone } from "../../bridge/protocol.gen";
import { HoldButton } from "../parts/hold";
import { clock, say, type Under } from "../parts/say";
import { Glyph } from "../parts/strokes";
import { createSession, endRefill, type Gap, gapsOf, type SessionRow, wordsOf } from "./api";
import { Wrong } from "./field";

const everyMs = 3_000;

interface RefillProps {
  token: string;
  row: SessionRow;
  phones: Phone[];
  again: () => void;
}

export function RefillCard({ token, row, phones, again }: RefillProps): JSX.Element {
  const { session, room, refilledMs, olderMs } = row;
  const counting = phones.filter((p) => !p.left && p.station !== "" && p.station !== "office");
  const back = counting.filter((p) => !p.away && p.heardMs > 0).length;
  const [gaps, setGaps] = useState<Gap[] | null>(null);
  const [problem, setProblem] = useState("");
  const failed = (error: unknown): void => setProblem(wordsOf(error));
  useEffect(() => {
    const look = (): void => {
      gapsOf(token, session).then((told) => {
        setGaps(told.gaps);
        setProblem("");
        if (told.refilledMs !== refilledMs || told.olderMs !== olderMs) again();
      }, failed);
    };
    look();
    const timer = setInterval(look, everyMs);
    return () => clearInterval(timer);
  }, [token, session, refilledMs, olderMs]);
  return (
    <section class="o-card o-refill">
      <h2>{say("office.refill", { time: clock(refilledMs || olderMs) })}</h2>
      <div>
        {counting.length > 0 && <p>{say("office.refill-back", { n: back, all: counting.length })}</p>}
        <Missing gaps={gaps} back={back} />
        <p class="quiet">{say("office.refill-own")}</p>
        {problem !== "" && <Wrong>{problem}</Wrong>}
      </div>
      <div>
        <p>{say(refilledMs > 0 ? "office.refill-open" : "office.refill-older")}</p>
        {refilledMs === 0 && (
          <HoldButton label={say("office.refill-all")} onHeld={() => void createSession(token, session, room, true).then(again, failed)} />
        )}
        <HoldButton label={say("office.refill-end")} onHeld={() => void endRefill(token, session).then(again, failed)} />
      </div>
    </section>
  );
}

/** What is missing of what any phone that came back has seen; before one is back, nothing reassures. */
function Missing({ gaps, back }: { gaps: Gap[] | null; back: number }): JSX.Element | null {
  if (!gaps) return <p class="quiet">{say("office.refill-looking")}</p>;
  if (gaps.length > 0)
    return (
      <ul class="o-list">
        {gaps.map((g) => (
          <li key={`${g.replica} ${g.from}`}>
            <Glyph of="ask" />
            <span>{gapWords(g)}</span>
          </li>
        ))}
      </ul>
    );
  return back === 0 ? null : (
    <p class="o-kept">
      <Glyph of="inroom" />
      {say("office.refill-whole")}
    </p>
  );
}

function gapWords(g: Gap): string {
  const range = { n: g.to - g.from + 1, from: g.from, to: g.to };
  if (g.person === "" || g.station === "") {
    return say("office.gap-nameless", { ...range, id: g.replica.slice(0, 4) });
  }
  return say("office.gap", { ...range, person: g.person, station: say(`station.${g.station}` as Under<"station.">) });
}
