// When figures of the plan are about more than this session is to place.
import type { View } from "../../bridge/protocol.gen";

/** Whether the plan needs more than the budget: its figures are then those of the whole plan. */
export const beyondBudget = ({ headline: h, ledger: l }: View): boolean => h.budgetKnown && h.budget < l.needTotal;
