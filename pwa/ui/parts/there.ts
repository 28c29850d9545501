// What a recount bore out, and the close asks about all the same.
import type { Difference } from "../../bridge/protocol.gen";

/** Whether the objects of a difference were counted and lie there. One that moved since, or is below zero, is to be counted again. */
export const liesThere = (d: Difference): boolean => d.recounted && !d.recountFirst && d.settle === 0 && d.amount > 0;
