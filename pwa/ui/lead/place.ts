// What a difference or a settlement is about, in words.
import type { Identity, Ref, View } from "../../bridge/protocol.gen";
import { say, type Under } from "../parts/say";

interface About {
  what: Identity;
  at: Ref;
  size: number;
}

/** The zone, pass or dish, and the unit size; "" when it is about all. */
export function placeOf({ what, at, size }: About, view: View): string {
  const zone = view.zones.find((z) => z.ref === at)?.name;
  const dish = view.dishes.find((d) => d.ref === at)?.label;
  const pass = view.passes.findIndex((p) => p.ref === at);
  const place = zone ?? (dish ? say("lead.dish", { label: dish }) : pass >= 0 ? say("lead.pass", { n: pass + 1 }) : "");
  const sized = what === "holding" || what === "sites" || what === "placed" || what === "dish";
  return [place, sized && size > 0 ? say(`size.${size}` as Under<"size.">) : ""].filter(Boolean).join(" · ");
}
