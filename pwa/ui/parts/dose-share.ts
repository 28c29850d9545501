// One share for all that was given: also where the words of doses are not loaded.
import type { DoseGroup } from "../../bridge/protocol.gen";
import { per } from "./per";

/** The share of all in one number: of a substance alone with a daily limit, that of the day. */
export const shareOfAll = ({ groups: [g, ...others], parts }: { groups: readonly DoseGroup[]; parts: number }): string =>
  per(g && others.length === 0 && g.dailyUg > 0 ? g.dayParts : parts, 10_000);
