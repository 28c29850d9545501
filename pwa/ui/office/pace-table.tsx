// How fast each station goes, till when it has work, and whether that changed.
import type { JSX } from "preact";
import type { Figure, StationPace } from "../../bridge/protocol.gen";
import { per } from "../parts/per";
import { clock, count, say, type Under } from "../parts/say";
import { Cell, Table } from "./table";
import type { TableOf } from "./tables";

const words = true;
const figures: Readonly<Record<string, Figure>> = {
  extraction: "pace taking",
  sorting: "pace sorting",
  sites: "pace sites",
  placing: "pace placing",
};

export function PaceTable({ room, view: { pace } }: TableOf): JSX.Element {
  const columns = [
    { head: say("office.station"), words },
    { head: say("office.pace-events"), unit: say("office.last-30") },
    { head: say("office.active"), unit: "min" },
    { head: say("office.pace"), unit: say("office.an-hour") },
    { head: say("office.interval"), unit: say("office.an-hour") },
    { head: say("office.rest") },
    { head: say("office.until") },
    { head: say("office.interval") },
    { head: say("office.before"), unit: say("office.last-30") },
    { head: say("office.verdict"), words },
  ];
  const slow = pace.bottleneck === "" ? "" : say("office.bottleneck", { station: say(`station.${pace.bottleneck}` as Under<"station.">) });
  return (
    <Table title={say("office.pace-table")} note={`${slow}${say("office.pace-note")}`} columns={columns} empty={pace.stations.length === 0}>
      {pace.stations.map((s) => {
        const known = s.state === "running" || s.state === "still";
        return (
          <tr key={s.station}>
            <th scope="row">{say(`station.${s.station}` as Under<"station.">)}</th>
            <td>
              {count(s.events)}
              {s.bulk > 0 && <span class="quiet"> {say("office.bulk", { n: s.bulk })}</span>}
            </td>
            <td>{per(s.activeMs, 60_000)}</td>
            {known ? (
              <Cell room={room} of={figures[s.station] ?? "pace taking"} strong>
                {per(s.perHour10, 10)}
              </Cell>
            ) : (
              <td class="o-quiet">{say(`office.pace-${s.state}` as Under<"office.pace-">)}</td>
            )}
            <td>{known && <bdi dir="ltr">{`${per(s.low10, 10)}–${per(s.high10, 10)}`}</bdi>}</td>
            <td>{s.leftKnown ? count(s.left) : say("office.not-known")}</td>
            <td class="o-strong">{until(s)}</td>
            <td>{s.finishKnown && <bdi dir="ltr">{`${clock(s.earliestMs)}–${clock(s.latestMs)}`}</bdi>}</td>
            <td>{count(s.before)}</td>
            <td class="o-words">{verdict(s)}</td>
          </tr>
        );
      })}
    </Table>
  );
}

function until(s: StationPace): string {
  if (s.done) return say("office.pace-done");
  if (s.paused) return say("office.pace-paused");
  return s.finishKnown ? clock(s.finishMs) : "–";
}

/** Whether the pace differs from that of the half-hour before, with the chance that it is luck. */
function verdict(s: StationPace): string {
  if (!s.compared) return say("office.verdict-none");
  const p = per(s.pParts, 10_000);
  return say(s.verdict === "slower" ? "office.verdict-slower" : s.verdict === "faster" ? "office.verdict-faster" : "office.verdict-same", {
    p,
  });
}
