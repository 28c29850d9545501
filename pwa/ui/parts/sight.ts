// How large a wall's screen is and from how far it is read, as people type it:
// the diagonal in inches, as screens are sold, and the distance in metres.
import type { Sight } from "../../bridge/messages";
import { readDecimal, writeDecimal } from "./units";

export interface SightTyped {
  inches: string;
  metres: string;
}

const inchMm = 25.4;

/** What stands in the fields; nothing where nobody set it. */
export const sightTyped = ({ diagonalMm, distanceMm }: Sight): SightTyped => ({
  inches: diagonalMm > 0 ? writeDecimal(Math.round((10 * diagonalMm) / inchMm), 1) : "",
  metres: distanceMm > 0 ? writeDecimal(Math.round(distanceMm / 100), 1) : "",
});

/** What was typed, or which field can not be read. */
export function sightRead({ inches, metres }: SightTyped): Sight | keyof SightTyped {
  const diagonal = readDecimal(inches, 1);
  const distance = readDecimal(metres, 1);
  if (!diagonal) return "inches";
  if (!distance) return "metres";
  return { diagonalMm: Math.round((diagonal * inchMm) / 10), distanceMm: distance * 100 };
}
