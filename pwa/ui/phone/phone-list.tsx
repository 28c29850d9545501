// Who is here, and how fresh each phone is.
import type { JSX } from "preact";
import type { Phone, View } from "../../bridge/protocol.gen";
import { clock, say, type Under } from "../parts/say";
import { Glyph } from "../parts/strokes";

/** Every phone that has joined and not left; onPick makes each name a way to its entries. */
export function PhoneList({ view, onPick }: { view: View; onPick?: (p: Phone) => void }): JSX.Element {
  const here = view.phones.filter((p) => !p.left && p.station !== "");
  return (
    <section class="row">
      <header>
        <h2>{say("phones.title")}</h2>
      </header>
      {here.length === 0 ? <p class="quiet">{say("phones.none")}</p> : null}
      <ul class="phones">
        {here.map((p) => (
          <li key={p.replica} class={p.away ? "away" : ""}>
            <Glyph of={p.away || !p.nothingUnsent ? "here" : "inroom"} />
            {onPick ? (
              <button type="button" class="pick" onClick={() => onPick(p)}>
                <b>{p.person}</b> {say(`station.${p.station}` as Under<"station.">)}
              </button>
            ) : (
              <span>
                <b>{p.person}</b> {say(`station.${p.station}` as Under<"station.">)}
              </span>
            )}
            <span class="quiet">
              {p.away
                ? p.heardMs > 0
                  ? say("phones.away", { time: clock(p.heardMs) })
                  : say("phones.never")
                : p.nothingUnsent
                  ? say("phones.here")
                  : say("phones.sending")}
              {p.shareKnown && p.station === "extraction" ? ` · ${say("phones.share", { n: p.shareLeft })}` : ""}
            </span>
          </li>
        ))}
      </ul>
    </section>
  );
}
