// What is asked before a dose or a weight is kept: each doubt in a sentence, and
// either back, or held to keep it as written.
import "../parts/dose-words";
import type { JSX } from "preact";
import type { Doubt } from "../../bridge/protocol.gen";
import { mg, percent } from "../parts/doses";
import { HoldButton } from "../parts/hold";
import { per } from "../parts/per";
import { count, say, type Under } from "../parts/say";
import { Glyph } from "../parts/strokes";
import { writeDecimal } from "../parts/units";

/** How the two numbers of a doubt are written, by what it is. */
const written: Readonly<Record<string, (n: number) => string>> = {
  strength: percent,
  solution: (n) => writeDecimal(n, 2), // % × 1000 as g/L
  "past-sum": (n) => per(n, 10_000),
  ratio: count,
  plain: count,
};

const doubtWords = (d: Doubt): string => {
  const write = written[d.what] ?? mg;
  return say(`doubt.${d.what}` as Under<"doubt.">, { n: write(d.n), of: write(d.of) });
};

interface DoubtsProps {
  of: readonly Doubt[];
  busy: boolean;
  onKeep: () => void;
  onChange: () => void;
}

/** The question: nothing is kept until it is answered. */
export function Doubts({ of, busy, onKeep, onChange }: DoubtsProps): JSX.Element {
  return (
    <section class="ask doubts" role="alert">
      <Glyph of="ask" />
      <h2>{say("dose.askTitle")}</h2>
      <ul>
        {of.map((d) => (
          <li key={d.what}>{doubtWords(d)}</li>
        ))}
      </ul>
      <button type="button" class="do" onClick={onChange}>
        {say("dose.change")}
      </button>
      <HoldButton label={say("dose.yes")} disabled={busy} onHeld={onKeep} />
    </section>
  );
}
