// Numbers as people write them, and the whole numbers that facts hold. Nothing
// is rounded: what has too many decimals is not a number of that field.

import { ofLanguage } from "./say";

/**
 * Reads a number with at most so many decimals as a whole number of its last
 * decimal: "42,5" with two decimals is 4250. Comma and point both mark
 * decimals. Null for anything else.
 */
export function readDecimal(text: string, decimals: number): number | null {
  const found = /^(\d{1,7})(?:[.,](\d+))?$/.exec(text.trim());
  if (!found) return null;
  const after = (found[2] ?? "").replace(/0+$/, "");
  if (after.length > decimals) return null;
  return Number((found[1] ?? "") + after.padEnd(decimals, "0"));
}

/** What stands before the decimals: a point, or a comma. */
export const decimalSign = ofLanguage((tag) => (new Intl.NumberFormat(tag).format(0.5).includes(",") ? "," : "."));

/** Writes a whole number of last decimals back: 4250 with two decimals is "42.5", or "42,5" where the language has a comma. */
export function writeDecimal(n: number, decimals: number): string {
  const digits = String(n).padStart(decimals + 1, "0");
  const whole = digits.slice(0, digits.length - decimals);
  const after = digits.slice(digits.length - decimals).replace(/0+$/, "");
  return after === "" ? whole : whole + decimalSign() + after;
}

/** Decimals of the fields: mm² in cm², tenths in units per cm², per mille in per cent, hundredths of a hair, of a per cent, of a sum. */
export const decimalsOf = { area: 2, density: 1, percent: 1, hairs: 2, floor: 1, watch: 2 } as const;
