// How a whole number is written by what it counts: the one place that knows
// that 880 per mille are 88 %.
import { count } from "./say";

const upTo = (decimals: number, style: "decimal" | "percent" = "decimal"): Intl.NumberFormat =>
  new Intl.NumberFormat("en", { style, maximumFractionDigits: decimals });

const forms: Readonly<Record<number, Intl.NumberFormat>> = {
  10: upTo(1),
  100: upTo(2),
  600: upTo(1), // tenths an hour, as a minute
  1000: upTo(1, "percent"), // per mille
  10000: upTo(2, "percent"),
  60000: upTo(1), // ms, as minutes
};

/** Writes n of which so many are one: of 10 tenths, of 600 tenths an hour what a minute has, of 1,000 and 10,000 parts of a whole in per cent, of 60,000 ms minutes. */
export function per(n: number, of: number): string {
  const form = forms[of];
  return form
    ? form
        .format(n / of)
        .replace("-", "−")
        .replace("%", " %")
    : count(n);
}
