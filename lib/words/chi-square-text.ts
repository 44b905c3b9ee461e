import { formatNumber, formatP } from "./format.ts";

/**
 * A chi-square test as it stands in a sentence.
 *
 * @example
 * ```ts
 * import { chiSquareText } from "mitral";
 * chiSquareText({ statistic: 4.2, pValue: 0.04 }); // "chi-square 4.20, p = 0.040"
 * ```
 */
export function chiSquareText(test: { statistic: number; pValue: number }): string {
  return `chi-square ${formatNumber(test.statistic, { digits: 2 })}, ${formatP(test.pValue)}`;
}
