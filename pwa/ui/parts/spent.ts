// When no graft follows: the donor allows no more, whatever the budget still
// lacks, or nothing is left to take.
import type { View } from "../../bridge/protocol.gen";

/** Whether nothing more may be taken and something is still to take: what is said and drawn of taking ends here. */
export const spent = ({ headline: h, session }: View): boolean =>
  session.endedMs === 0 && h.budgetKnown && h.toTake > 0 && h.stops === "donor" && h.donorLeft <= 0;

/** Whether another graft may be taken. */
export const follows = (view: View): boolean => !(view.headline.budgetKnown && view.headline.toTake === 0) && !spent(view);
