import { groupedDigits } from "./count-text.ts";

/** How a number that cannot be given is printed. */
export const noValue = "–";

/**
 * A number with fixed decimals, a comma between thousands and a true minus sign. The same text on
 * every machine: no locale is consulted.
 *
 * Without `digits`, whole numbers stand as they are and others get four significant
 * figures at most.
 * A value that rounds to zero never keeps a minus sign.
 *
 * @param options.grouped False where thousands are not parted, as in calendar years.
 *
 * @example
 * ```ts
 * import { formatNumber } from "mitral";
 * formatNumber(12345.678, { digits: 1 }); // "12,345.7"
 * formatNumber(-0.04, { digits: 1 });     // "0.0"
 * ```
 */
export function formatNumber(
  value: number | null,
  options: { digits?: number; grouped?: boolean } = {},
): string {
  if (value === null || Number.isNaN(value)) return noValue;
  if (!Number.isFinite(value)) return value > 0 ? "∞" : "−∞";
  const digits = options.digits ?? significantDecimals(value);
  const size = Math.abs(value);
  if (size >= 1e15) return signed(value, size.toExponential(3));
  const text = options.digits === undefined
    ? fixed(size, digits).replace(/(\.\d*?)0+$/, "$1").replace(/\.$/, "")
    : fixed(size, digits);
  const [whole = "", fraction] = text.split(".");
  const grouped = options.grouped === false ? whole : groupedDigits(whole);
  return signed(Number(text) === 0 ? 0 : value, fraction ? `${grouped}.${fraction}` : grouped);
}

/**
 * A proportion as a percentage, sign included.
 *
 * @example
 * ```ts
 * import { formatPercent } from "mitral";
 * formatPercent(0.7123); // "71.2%"
 * ```
 */
export function formatPercent(
  proportion: number | null,
  options: { digits?: number } = {},
): string {
  if (proportion === null || !Number.isFinite(proportion)) return noValue;
  return `${formatNumber(per100(proportion), { digits: options.digits ?? 1 })}%`;
}

/**
 * A share with an event as it is printed where its limits do not stand beside it. No event is not
 * certainty: the end of its range stands in its place.
 *
 * @example
 * ```ts ignore
 * import { shareText } from "./mod.ts";
 * shareText({ estimate: 0.0231, upper: 0.06 }); // "2.3%"
 * shareText({ estimate: 0, upper: 0.034 }); // "< 3.4%"
 * ```
 */
export function shareText(
  { estimate, upper }: { estimate: number; upper: number },
  options: { digits?: number } = {},
): string {
  if (estimate > 0 || !(upper > 0)) return formatPercent(estimate, options);
  return `< ${formatPercent(upper, options)}`;
}

/**
 * A proportion per 100, its decimal point moved and nothing else: 0.285 is 28.5, where the product
 * with 100 is 28.499999999999996 and would round to 28.
 */
export function per100(proportion: number): number {
  return pointMoved(proportion, 2);
}

/**
 * A number with its sign and a decimal or none, as figures print changes: "+3.2", "−0.4", "0".
 */
export function formatChange(value: number, options: { digits: number }): string {
  const text = formatNumber(value, options);
  return roundTo(value, options.digits) > 0 ? `+${text}` : text;
}

/** A confidence level as it is named: "95%", "97.5%". */
export function levelText(confidence: number): string {
  return `${formatNumber(per100(confidence))}%`;
}

/**
 * A p value, with its letter: two decimals from 0.1 up, three below, bounds at both ends.
 *
 * @example
 * ```ts
 * import { formatP } from "mitral";
 * formatP(0.00002); // "p < 0.001"
 * formatP(0.0496);  // "p = 0.050"
 * ```
 */
export function formatP(pValue: number | null): string {
  const text = formatPValue(pValue);
  if (text === noValue) return noValue;
  return /^[<>]/.test(text) ? `p ${text}` : `p = ${text}`;
}

/** What is said in place of a p value where there are too few events for one. */
export const tooFewToTest = "too few events to test";

/**
 * The p value of a test as {@link formatP} prints it, or that there are too few events for one.
 *
 * @example
 * ```ts
 * import { formatTest } from "mitral";
 * formatTest({ pValue: NaN, tooFew: true }); // "too few events to test"
 * ```
 */
export function formatTest(test: { pValue: number; tooFew: boolean }): string {
  return test.tooFew ? tooFewToTest : formatP(test.pValue);
}

/** A p value without its letter, for a column headed p. */
export function formatPValue(pValue: number | null): string {
  if (pValue === null || Number.isNaN(pValue)) return noValue;
  if (pValue < 0.001) return "< 0.001";
  if (pValue > 0.99) return "> 0.99";
  return fixed(pValue, pValue < 0.0995 ? 3 : 2);
}

/**
 * Two limits in words, because a dash between signed numbers cannot be read.
 *
 * @example
 * ```ts
 * import { formatRange } from "mitral";
 * formatRange(3.14, 5.19, { digits: 1 }); // "3.1 to 5.2"
 * ```
 */
export function formatRange(
  lower: number | null,
  upper: number | null,
  options: { digits?: number } = {},
): string {
  return `${formatNumber(lower, options)} to ${formatNumber(upper, options)}`;
}

/**
 * An estimate with its limits.
 *
 * @example
 * ```ts
 * import { formatEstimate } from "mitral";
 * formatEstimate({ estimate: 4.1, lower: 3.14, upper: 5.19 }, { digits: 1 }); // "4.1 (3.1 to 5.2)"
 * ```
 */
export function formatEstimate(
  value: { estimate: number; lower: number; upper: number },
  options: { digits?: number } = {},
): string {
  return `${formatNumber(value.estimate, options)} (${
    formatRange(value.lower, value.upper, options)
  })`;
}

/** Decimal rounding that treats a decimal tie as a reader would: 0.285 to two places is 0.29. */
function fixed(value: number, digits: number): string {
  const rounded = roundTo(value, digits);
  return rounded.toFixed(digits);
}

/** Rounds half away from zero in decimal, so that 1.005 to two places is 1.01. */
export function roundTo(value: number, digits: number): number {
  if (!Number.isFinite(value)) return value;
  const shifted = Math.round(pointMoved(Math.abs(value), digits));
  const result = Number(`${shifted}e${-digits}`);
  return value < 0 && result !== 0 ? -result : result;
}

/**
 * The number whose decimal text is this one's, the point moved to the right. Twelve
 * digits are read:
 * beyond them stands what the binary form or a subtraction left (0.71 - 0.69 is
 * 0.020000000000000018), which must not decide a tie.
 */
function pointMoved(value: number, places: number): number {
  if (!Number.isFinite(value)) return value;
  const digits = Math.abs(value) < 1e9 ? 11 : undefined;
  const [mantissa = "0", exponent = "0"] = value.toExponential(digits).split("e");
  return Number(`${mantissa}e${Number(exponent) + places}`);
}

function significantDecimals(value: number): number {
  if (Number.isInteger(value)) return 0;
  const magnitude = Math.floor(Math.log10(Math.abs(value)));
  return Math.min(6, Math.max(0, 3 - magnitude));
}

function signed(value: number, text: string): string {
  return value < 0 ? `−${text}` : text;
}
