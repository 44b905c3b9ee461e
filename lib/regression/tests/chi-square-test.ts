import { DataError, distributions, type Test } from "../../numerics/mod.ts";
import { countTable } from "./count-table.ts";

/**
 * Pearson's chi-square test of a table of counts, given as rows.
 *
 * @param options.continuity Yates' correction, for 2 x 2 tables only: each |observed - expected| is
 * reduced by 1/2, or by itself if smaller. Default false.
 * @returns The test, with the smallest expected count: below 5 the approximation is poor and
 * {@link fisherTest} is better.
 * @throws {DataError} on counts that are not whole, ragged rows, or a row or column of zeros.
 * @see Pearson (1900) Phil Mag 50:157-175; Yates (1934) JRSS Suppl 1:217-235.
 */
export function chiSquareTest(
  table: number[][],
  options: { continuity?: boolean } = {},
): Test & { smallestExpected: number } {
  const { rows, columns, rowTotals, columnTotals, total } = countTable(table);
  const { continuity = false } = options;
  if (continuity && (rows > 2 || columns > 2)) {
    throw new DataError("continuity", "left out: it is for 2 x 2 tables", continuity);
  }
  let statistic = 0;
  let smallestExpected = Infinity;
  table.forEach((row, i) =>
    row.forEach((observed, j) => {
      const expected = rowTotals[i]! * columnTotals[j]! / total;
      const distance = Math.abs(observed - expected);
      statistic += (distance - (continuity ? Math.min(0.5, distance) : 0)) ** 2 / expected;
      smallestExpected = Math.min(smallestExpected, expected);
    })
  );
  const degreesOfFreedom = (rows - 1) * (columns - 1);
  return {
    statistic,
    degreesOfFreedom,
    pValue: distributions.chiSquareUpper(statistic, degreesOfFreedom),
    smallestExpected,
  };
}
