// How a whole number is written by what it counts: the one place that knows
// that 880 per mille are 88 %.
import { count, ofLanguage } from "./say";

const upTo = (decimals: number, style: "decimal" | "percent" = "decimal"): (() => Intl.NumberFormat) =>
  ofLanguage((tag) => new Intl.NumberFormat(tag, { style, maximumFractionDigits: decimals }));

const forms: Readonly<Record<number, () => Intl.NumberFormat>> = {
  10: upTo(1),
  60: upTo(2), // minutes, as hours
  100: upTo(2),
  600: upTo(1), // tenths an hour, as a minute
  1000: upTo(1, "percent"), // per mille
  10000: upTo(2, "percent"),
  60000: upTo(1), // ms, as minutes
  1000000: upTo(3), // ng, as mg
};

const tenths = upTo(1);
const thousandths = upTo(3);
const tenThousandths = upTo(4);

/** Writes n of which so many are one: of 10 tenths, of 60 minutes hours, of 600 tenths an hour what a minute has, of 1,000 and 10,000 parts of a whole in per cent, of 60,000 ms minutes, of a million millionths. */
export function per(n: number, of: number): string {
  const form = forms[of];
  return form
    ? form()
        .format(n / of)
        .replace("-", "−")
        .replace(/(\d)%/, "$1 %")
    : count(n);
}

/** Parts of 10,000 as per cent, to a tenth; what is below one to a hundredth. */
export const share = (parts: number): string =>
  per(Math.abs(parts) < 100 ? parts : 10 * Math.round(parts / 10), 10_000).replace(/\s/, "\u00a0"); // in one line with its sign

/** Parts of 10,000 as percentage points, in the same way, without a sign. */
export const points = (parts: number): string => per(Math.abs(parts) < 100 ? Math.abs(parts) : 10 * Math.round(Math.abs(parts) / 10), 100);

/** µm as mm, and µm² as mm²: to a thousandth, which is more than a punch is made to. */
export const mm = (um: number): string => thousandths().format(um / 1000);
export const mm2 = (um2: number): string => thousandths().format(um2 / 1_000_000);

/** µm/s as mm/s. */
export const mmPerS = (um: number): string => tenths().format(um / 1000);

/** A p value in parts of 10,000, as p values are written: 421 is 0.0421. */
export const pValue = (parts: number): string => tenThousandths().format(parts / 10_000);
