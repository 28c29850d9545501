// What must be zero at the close.
import type { JSX } from "preact";
import type { Figure as FigureName, View } from "../../bridge/protocol.gen";
import type { Room } from "../parts/room";
import { count, type Key, say } from "../parts/say";
import { Figure } from "../parts/where";
import { Fold } from "./fold";

export function Close({ room, view }: { room: Room; view: View }): JSX.Element {
  const rows: [Key, number, FigureName][] = [
    ["close.bench", view.ledger.bench, "bench"],
    ["close.held", view.ledger.holdingTotal, "holding"],
    ["close.pending", view.ledger.attempts.pending, "pending"],
    ["close.buried", view.ledger.buriedOpen, "buried"],
    ["close.sites", view.ledger.openSites, "sites"],
    ["close.waiting", view.session.waiting, ""],
  ];
  const open = rows.filter(([, n]) => n !== 0).length;
  return (
    <Fold
      title={say("close.title")}
      says={open === 0 ? say("close.clear") : say("close.open", { n: open })}
      open={view.session.endedMs > 0}
    >
      <table class="terms close">
        <tbody>
          {rows.map(([key, n, of]) => (
            <tr key={key}>
              <th scope="row">{say(key)}</th>
              <td>
                {of === "" ? (
                  count(n)
                ) : (
                  <Figure room={room} of={of} alone>
                    {count(n)}
                  </Figure>
                )}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </Fold>
  );
}
