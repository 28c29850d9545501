// The end of a session: what is not zero yet, and ending it.
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { View } from "../../bridge/protocol.gen";
import { HoldButton } from "../parts/hold";
import type { Room } from "../parts/room";
import { count, type Key, say, sayFault } from "../parts/say";
import { Wrong } from "./field";

/** What should be zero before the end. */
function remains(view: View): [Key, number][] {
  const { ledger: l, headline: h, session } = view;
  const all: [Key, number][] = [
    ["office.to-take", h.toTake],
    ["office.pending", l.attempts.pending],
    ["office.bench", l.bench],
    ["office.held", l.holdingTotal],
    ["office.open-sites", l.openSites],
    ["office.buried", l.buriedOpen],
    ["office.away", h.away],
    ["office.differences", view.differences.filter((d) => d.open).length],
    ["office.waiting", session.waiting],
  ];
  return all.filter(([, n]) => n !== 0);
}

export function EndCard({ room, view }: { room: Room; view: View }): JSX.Element {
  const [problem, setProblem] = useState("");
  const rest = remains(view);
  const end = async (): Promise<void> => {
    const { fault } = await room.tap({ kind: "ended" });
    setProblem(fault ? sayFault(fault) : "");
  };
  return (
    <section class="o-card">
      <h2>{say("office.end")}</h2>
      <p>{say("office.end-what")}</p>
      {rest.length > 0 && (
        <table class="o-rest">
          <caption>{say("office.end-rest")}</caption>
          <tbody>
            {rest.map(([key, n]) => (
              <tr key={key}>
                <th scope="row">{say(key)}</th>
                <td>{count(n)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
      {problem !== "" && <Wrong>{problem}</Wrong>}
      <HoldButton label={say("office.end-hold")} onHeld={() => void end()} />
    </section>
  );
}
