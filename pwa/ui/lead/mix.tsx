// What the sorting leads to, size by size, and whether splits cover what is short.
import type { JSX } from "preact";
import type { View } from "../../bridge/protocol.gen";
import type { Room } from "../parts/room";
import { count, list, say, type Under } from "../parts/say";
import { SizeGlyph } from "../parts/strokes";
import { Figure } from "../parts/where";
import { beyondBudget } from "../parts/whole-plan";
import { Fold } from "./fold";

const sizes = [1, 2, 3, 4] as const;

/** Over or short, in words. */
const overWords = (n: number): string => (n < 0 ? say("mix.short", { n: Math.abs(n) }) : n > 0 ? say("mix.over", { n }) : say("mix.even"));

function summary({ mix: m }: View): string {
  if (!m.known) return say("mix.unknown");
  const short = sizes.filter((s) => (m.over[s - 1] ?? 0) < 0);
  if (short.length === 0) return say("mix.enough");
  return say("mix.shortOf", { sizes: list(short.map((s) => say(`sizes.${s}`))) });
}

export function Mix({ room, view }: { room: Room; view: View }): JSX.Element {
  const m = view.mix;
  return (
    <Fold title={say("mix.title")} says={summary(view)}>
      {m.known ? (
        <table class="terms mix-table">
          <thead>
            <tr>
              <th scope="col">{say("phone.size")}</th>
              <th scope="col">{say("mix.expected")}</th>
              <th scope="col">{say("mix.need")}</th>
              <th scope="col">
                <span class="off">{say("mix.result")}</span>
              </th>
            </tr>
          </thead>
          <tbody>
            {sizes.map((s) => (
              <tr key={s}>
                <th scope="row">
                  <SizeGlyph size={s} /> <span>{say(`sizes.${s}`)}</span>
                </th>
                <td>
                  <Figure room={room} of="mix" size={s} alone>
                    {count(m.expected[s - 1] ?? 0)}
                  </Figure>
                </td>
                <td>{count(m.need[s - 1] ?? 0)}</td>
                <td class={(m.over[s - 1] ?? 0) < 0 ? "short" : "quiet"}>{overWords(m.over[s - 1] ?? 0)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      ) : (
        <p class="quiet">{say("mix.unknownWhy")}</p>
      )}
      {m.known && beyondBudget(view) ? (
        <p class="quiet">{say("mix.wholePlan", { need: view.ledger.needTotal, budget: view.headline.budget })}</p>
      ) : null}
      <Splits view={view} />
    </Fold>
  );
}

/** The splits that would cover the singles that are short. */
function Splits({ view: { mix: m } }: { view: View }): JSX.Element | null {
  if (!m.known || (m.over[0] ?? 0) >= 0) return null;
  const which = sizes
    .filter((s) => (m.splits[s - 1] ?? 0) > 0)
    .map((s) => `${count(m.splits[s - 1] ?? 0)} ${say(`sizes.${s}` as Under<"sizes.">)}`);
  if (which.length === 0) return <p>{say("mix.noSplit")}</p>;
  return <p>{say(m.covered ? "mix.splits" : "mix.splitsNot", { which: which.join(say("mix.and")) })}</p>;
}
