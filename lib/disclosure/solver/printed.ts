import type { Range } from "./clue.ts";

/** "1,036" as a number. */
const digits = "(\\d{1,3}(?:,\\d{3})+|\\d+)";
const whole = new RegExp(`^${digits}$`);
const bounded = new RegExp(`^([<>]) ${digits}$`);
const withShare = new RegExp(`^${digits} \\((\\d+(?:\\.\\d+)?)%\\)$`);

/**
 * A count as it is printed: the number, and where its share stands beside it, that
 * with its rounding.
 */
export interface PrintedCount {
  count: Range;
  share?: Range;
}

/**
 * Reads a count as a reader does: 12, "1,036", "< 11", "> 363", "12 (34%)". A dash or nothing is
 * some count; of anything else nothing is read.
 */
export function printedCount(value: unknown): PrintedCount | undefined {
  if (value === null || value === undefined || value === "" || value === "\u2013") {
    return { count: { low: 0, high: Infinity } };
  }
  if (typeof value === "number") {
    return Number.isInteger(value) && value >= 0
      ? { count: { low: value, high: value } }
      : undefined;
  }
  if (typeof value !== "string") return undefined;
  const text = value.replaceAll("\u00a0", " ").trim();
  const exact = whole.exec(text)?.[1];
  if (exact !== undefined) return { count: same(numberOf(exact)) };
  const [, sign, bound] = bounded.exec(text) ?? [];
  if (bound !== undefined) {
    const edge = numberOf(bound);
    // 0 is printed as it is: what is bounded is somebody
    return { count: sign === "<" ? { low: 1, high: edge - 1 } : { low: edge + 1, high: Infinity } };
  }
  const [, count, share] = withShare.exec(text) ?? [];
  if (count === undefined || share === undefined) return undefined;
  return { count: same(numberOf(count)), share: roundedTo(Number(share), decimalsOf(share), 100) };
}

/** Everything that is printed as this proportion, to so many decimals of one in 100. */
export function printedShare(value: number, decimals = 1): Range {
  return roundedTo(100 * value, decimals, 100);
}

/** Everything that rounds to a number with so many decimals, over `per`. */
function roundedTo(value: number, decimals: number, per: number): Range {
  const half = 0.5 * 10 ** -decimals;
  return { low: Math.max(0, (value - half) / per), high: (value + half) / per };
}

function same(value: number): Range {
  return { low: value, high: value };
}

function numberOf(text: string): number {
  return Number(text.replaceAll(",", ""));
}

function decimalsOf(text: string): number {
  return text.split(".")[1]?.length ?? 0;
}
