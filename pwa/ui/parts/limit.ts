// What limits a budget.
import type { Ledger } from "../../bridge/protocol.gen";

/** The smaller side, need or donor, in grafts; null while nothing is planned. */
export function limitOf(l: Ledger): number | null {
  if (l.budgetLimitedBy === "unknown") return null;
  return l.budgetLimitedBy === "need" ? l.needTotal : l.capacityGrafts;
}
