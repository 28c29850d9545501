// The phones of the session: who, where, and how fresh.
import type { JSX } from "preact";
import type { Phone, View } from "../../bridge/protocol.gen";
import { clock, say, type Under } from "../parts/say";
import { Glyph, type Stroke } from "../parts/strokes";

export function Phones({ view }: { view: View }): JSX.Element {
  const phones = view.phones.filter((p) => p.station !== "" && p.station !== "office");
  return (
    <section class="o-card">
      <h2>{say("office.phones")}</h2>
      {phones.length === 0 && <p class="quiet">{say("office.phones-none")}</p>}
      <ul class="o-list">
        {phones.map((p) => (
          <li key={p.replica}>
            <p class="o-entry">
              <span>
                <b>{p.person}</b> <span class="quiet">{say(`station.${p.station}` as Under<"station.">)}</span>
              </span>
              <Fresh phone={p} />
            </p>
          </li>
        ))}
      </ul>
    </section>
  );
}

function Fresh({ phone: p }: { phone: Phone }): JSX.Element {
  const heard = p.heardMs > 0 ? say("office.not-since", { time: clock(p.heardMs) }) : say("office.not-heard");
  const [glyph, tone, words]: [Stroke, string, string] = p.left
    ? ["hand", "quiet", say("office.left-room")]
    : p.away
      ? ["here", "o-away", heard]
      : p.nothingUnsent
        ? ["inroom", "o-kept", say("office.all-in")]
        : ["going", "", say("office.sending")];
  return (
    <span class={tone}>
      <Glyph of={glyph} />
      {words}
    </span>
  );
}
