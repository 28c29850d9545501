// What asks for somebody in this session.
import type { JSX } from "preact";
import type { Ask, View } from "../../bridge/protocol.gen";
import { quoted } from "../parts/duration";
import { clock, say, type Under } from "../parts/say";
import { Glyph } from "../parts/strokes";

export function Asks({ view }: { view: View }): JSX.Element {
  return (
    <>
      {view.asks
        .filter((a) => a.what !== "choose") // Conflicts asks for it
        .map((a) => (
          <AskRow key={`${a.what} ${a.zone} ${a.size}`} ask={a} />
        ))}
    </>
  );
}

function AskRow({ ask: a }: { ask: Ask }): JSX.Element {
  const words = {
    ...quoted(a),
    zone: a.zone,
    since: clock(a.sinceMs),
    size: a.size > 0 ? say(`sizes.${a.size}` as Under<"sizes.">) : "",
  };
  return (
    <section class={a.limit ? "ask past" : "ask"}>
      <Glyph of={a.limit ? "past" : "ask"} />
      <h2>{say(`ask.${a.what}` as Under<"ask.">, words)}</h2>
      <p>{say(`askDo.${a.what}` as Under<"askDo.">, words)}</p>
    </section>
  );
}
