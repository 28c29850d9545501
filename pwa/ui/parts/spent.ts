// When the donor allows no more, whatever the budget still lacks.
import type { View } from "../../bridge/protocol.gen";

/** Whether nothing more may be taken and something is still to take: what is said and drawn of taking ends here. */
export const spent = ({ headline: h, session }: View): boolean =>
  session.endedMs === 0 && h.budgetKnown && h.toTake > 0 && h.stops === "donor" && h.donorLeft <= 0;
