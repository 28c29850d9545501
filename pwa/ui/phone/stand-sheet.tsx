// How the sizes stand: what is held, what the day leads to, and what to split.
import "./rare-words";
import type { JSX } from "preact";
import type { View } from "../../bridge/protocol.gen";
import { Dialog } from "../parts/dialog";
import type { Room } from "../parts/room";
import { count, say } from "../parts/say";
import { SizeGlyph } from "../parts/strokes";
import { sizes, sizesWord } from "./dish";
import { MixWords, PaceWords } from "./line";

/** The sheet behind the bench, at sorting. */
export function StandSheet({ room, view, onClose }: { room: Room; view: View; onClose: () => void }): JSX.Element {
  const m = view.mix;
  return (
    <Dialog title={say("stands.how")} onClose={onClose}>
      <p>
        <b>{say("sorting.bench", { n: view.ledger.bench })}</b> · {say("sorting.held", { n: view.ledger.holdingTotal })}
      </p>
      <table class="close">
        <thead>
          <tr>
            <th scope="col">{say("phone.size")}</th>
            <th scope="col">{say("stands.held")}</th>
            {m.known ? <th scope="col">{say("stands.expected")}</th> : null}
            {m.known ? <th scope="col">{say("stands.need")}</th> : null}
          </tr>
        </thead>
        <tbody>
          {sizes.map((s) => (
            <tr key={s}>
              <th scope="row">
                <span class="init">
                  <SizeGlyph size={s} />
                  {sizesWord(s)}
                </span>
              </th>
              <td>{count(view.ledger.holding[s - 1] ?? 0)}</td>
              {m.known ? <td class={(m.over[s - 1] ?? 0) < 0 ? "tight" : ""}>{count(m.expected[s - 1] ?? 0)}</td> : null}
              {m.known ? <td>{count(m.need[s - 1] ?? 0)}</td> : null}
            </tr>
          ))}
        </tbody>
      </table>
      <p>{m.known ? <MixWords room={room} mix={m} /> : say("stands.unknown")}</p>
      <p class="quiet">
        <PaceWords room={room} view={view} station="sorting" />
      </p>
    </Dialog>
  );
}
