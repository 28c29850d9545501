// The headline once nothing is to take: the day is then what is left to place.
import type { JSX } from "preact";
import type { View } from "../../bridge/protocol.gen";
import { count } from "../parts/say";
import { Head } from "./frame";

interface Top {
  view: View;
  label: string;
  practice: boolean;
}

export function Enough({ view: { headline: h, ledger: l, zones }, ...top }: Top): JSX.Element {
  const out = Math.max(0, h.usable - l.placedTotal); // usable grafts that are not placed
  const need = zones.length > 0 ? zones.reduce((all, z) => all + z.toPlace, 0) : out;
  const left = Math.min(out, need);
  if (left > 0) return <Head head="wall.left-to-place" with={{ n: count(left) }} {...top} />;
  if (need === 0 || l.placedTotal >= h.budget) return <Head head="wall.enough" {...top} />;
  return <Head head="wall.to-take" with={{ n: count(0) }} {...top} />; // they are on their way
}
