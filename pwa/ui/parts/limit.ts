// What limits a budget.
import type { Ledger } from "../../bridge/protocol.gen";

/** The largest budget, in grafts; null while nothing is planned. */
export const limitOf = (l: Ledger): number | null => (l.budgetLimitedBy === "unknown" ? null : l.budgetMax);
