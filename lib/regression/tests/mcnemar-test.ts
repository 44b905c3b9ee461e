import { checkWhole, distributions, type Test } from "../../numerics/mod.ts";

/**
 * McNemar's test for paired yes/no outcomes: whether the two kinds of discordant pairs are equally
 * common. (b - c)^2 / (b + c), without continuity correction.
 *
 * @param b Pairs with the event in the first member only.
 * @param c Pairs with the event in the second member only.
 * @returns The test; the same with the correction (|b - c| - 1)^2 / (b + c); and the exact binomial
 * p value, twice the smaller tail. Without discordant pairs p is 1.
 * @throws {DataError}
 * @see McNemar (1947) Psychometrika 12:153-157; correction: Edwards (1948) ibid. 13:185-187.
 */
export function mcnemarTest(
  b: number,
  c: number,
): Test & { exactPValue: number; corrected: Test } {
  checkWhole("b", b, 0);
  checkWhole("c", c, 0);
  const pairs = b + c;
  const test = (distance: number): Test => {
    const statistic = pairs === 0 ? 0 : distance ** 2 / pairs;
    return {
      statistic,
      degreesOfFreedom: 1,
      pValue: distributions.chiSquareUpper(statistic, 1),
    };
  };
  const distance = Math.abs(b - c);
  return {
    ...test(distance),
    exactPValue: Math.min(1, 2 * distributions.binomialAtMost(Math.min(b, c), pairs, 0.5)),
    corrected: test(Math.max(0, distance - 1)),
  };
}
