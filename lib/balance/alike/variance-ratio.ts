import { checkDataColumns, DataError, momentsOfGroups, type Numbers } from "../../numerics/mod.ts";
import { comparedColumns } from "./compared-columns.ts";

/**
 * Ratio of a covariate's variance in treated to that in controls, both weighted if there are
 * weights. Between 0.5 and 2 is usually taken as alike. Infinite where only controls are constant.
 *
 * Weighted variance: W / (W^2 - sum w^2) * sum w (x - mean)^2. Of little use for a 0/1 covariate,
 * whose variance its mean decides. Cost O(n).
 *
 * @throws {DataError} if a group has fewer than two rows that count, or both are constant.
 * @see Rubin (2001) Health Serv Outcomes Res Methodol 2:169-188; weighted: Austin & Stuart (2015)
 * Stat Med 34:3661-3679.
 */
export function varianceRatio(
  data: { treated: Numbers; covariate: Numbers; weight?: Numbers },
): number {
  checkDataColumns("varianceRatio", data, ["treated", "covariate", "weight"]);
  const { treated, covariate, weight } = comparedColumns(data);
  const [zero, one] = momentsOfGroups(covariate, treated, weight);
  if (one.n < 2 || zero.n < 2) {
    throw new DataError("treated", "at least two rows that count in each group", data.treated);
  }
  if (one.variance === 0 && zero.variance === 0) {
    throw new DataError("covariate", "not constant in both groups", data.covariate[0], 0);
  }
  return one.variance / zero.variance;
}
