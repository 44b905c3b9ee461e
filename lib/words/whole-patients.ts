import { formatNumber, roundTo } from "./format.ts";

/** Two groups' numbers and their difference, first minus second, with its limits: of 100. */
export interface ComparedNumbers {
  first: number;
  second: number;
  lower: number;
  upper: number;
}

/** Two numbers, their difference and its limits, as they are printed beside each other. */
export interface PrintedPair {
  /** "10" */
  first: string;
  /** "5" */
  second: string;
  /** "5 more", "difference 0". */
  change: string;
  /** "2 to 9 more". */
  range: string;
}

/**
 * How two numbers and their difference are printed beside each other. Each rounded by itself, 10.4
 * and 4.8 would read "10 / 5, 6 more". So the difference that is printed is that of the two printed
 * numbers; where such a one would lie outside the printed limits, or where these would read the
 * same, all are printed with a decimal.
 *
 * @example
 * ```ts ignore
 * import { pairInWords } from "./mod.ts";
 * pairInWords({ first: 10.4, second: 4.8, lower: 2.1, upper: 9.3 });
 * // { first: "10", second: "5", change: "5 more", range: "2 to 9 more" }
 * ```
 */
export function pairInWords(
  numbers: ComparedNumbers,
): PrintedPair {
  const { first, second, lower, upper } = numbers;
  const digits = [rangeDigits(lower, upper), 1].find((places) => fits(numbers, places)) ?? 1;
  const size = printedDifference(numbers, digits);
  const side = lower > 0 ? "more" : upper < 0 ? "fewer" : "";
  const least = formatNumber(1 / 10 ** digits, { digits });
  const same = side === "" ? "difference 0" : `less than ${least} ${side}`;
  return {
    first: formatNumber(first, { digits }),
    second: formatNumber(second, { digits }),
    change: size === 0 ? same : moreOrFewer(size, digits),
    range: rangeInWords(lower, upper, { digits }),
  };
}

/** Whether the difference of the printed numbers lies within the printed limits. */
function fits(numbers: ComparedNumbers, digits: number): boolean {
  const size = printedDifference(numbers, digits);
  const slack = 0.5 / 10 ** (digits + 1);
  return size >= roundTo(numbers.lower, digits) - slack &&
    size <= roundTo(numbers.upper, digits) + slack;
}

function printedDifference({ first, second }: ComparedNumbers, digits: number): number {
  return roundTo(roundTo(first, digits) - roundTo(second, digits), digits);
}

/**
 * Decimals with which limits are told apart: none where whole numbers do, or where even one decimal
 * does not. Limits that both lie within one of zero, on one side of it, have a decimal all the
 * same: "less than 1" would hide both.
 *
 * @param most Decimals there may be; default 1: shares are published to a tenth of one in 100.
 */
export function rangeDigits(lower: number, upper: number, most = 1): number {
  if ((lower >= 0 && upper <= 1) || (lower >= -1 && upper <= 0)) return most;
  return meet(lower, upper, 0) && !meet(lower, upper, most) ? most : 0;
}

/** Whether both limits of a range would be printed alike. */
function meet(lower: number, upper: number, digits: number): boolean {
  const [from, to] = [roundTo(lower, digits), roundTo(upper, digits)];
  return from === to && !(from === 0 && (lower > 0 || upper < 0));
}

/**
 * The limits of a difference in whole patients: "3 fewer to 9 more", "12 to 21 more". A limit that
 * is not zero does not read as zero, since the claim hangs on its side: "less than 1 to 4 more".
 * Where both are within one of zero they have a decimal: "0.2 to 0.7 more". Limits that no decimal
 * tells apart read "about 15 more".
 *
 * @param options.digits Decimals; default those of {@link rangeDigits}.
 */
export function rangeInWords(
  lower: number,
  upper: number,
  { digits = rangeDigits(lower, upper) }: { digits?: number } = {},
): string {
  if (meet(lower, upper, digits)) return `about ${moreOrFewer(roundTo(lower, digits), digits)}`;
  const [from, to] = [roundTo(lower, digits), roundTo(upper, digits)];
  if (lower > 0 || upper < 0) {
    const least = formatNumber(1 / 10 ** digits, { digits });
    const [near, far] = lower > 0 ? [from, to] : [to, from];
    const side = lower > 0 ? "more" : "fewer";
    if (far === 0) return `less than ${least} ${side}`;
    const first = near === 0 ? `less than ${least}` : plain(near, digits);
    return `${first} to ${plain(far, digits)} ${side}`;
  }
  return `${moreOrFewer(from, digits)} to ${moreOrFewer(to, digits)}`;
}

function moreOrFewer(value: number, digits: number): string {
  return value === 0 ? "0" : `${plain(value, digits)} ${value > 0 ? "more" : "fewer"}`;
}

function plain(value: number, digits: number): string {
  return formatNumber(Math.abs(value), { digits });
}
