import {
  checkChoice,
  checkDataColumns,
  DataError,
  distributions,
  factorSymmetric,
  FOLLOW_UP,
  solveFactored,
  type Test,
} from "../../numerics/mod.ts";
import {
  flemingHarrington,
  groupedComparison,
  type GroupedFollowUp,
  logRankSums,
  type WeightOf,
} from "./log-rank-sums.ts";

/** What the difference at each event time counts for, besides the Fleming-Harrington family. */
export type TimeWeighting = "equal" | "at-risk" | "root-at-risk" | "shrunken-survival";

const WEIGHTINGS: readonly TimeWeighting[] = [
  "equal",
  "at-risk",
  "root-at-risk",
  "shrunken-survival",
];

/** Options of {@link logRank}. */
export interface LogRankOptions {
  /** Power of S(t-): above 0 stresses early differences. Default 0. */
  rho?: number;
  /** Power of 1 - S(t-): above 0 stresses late differences. Default 0. */
  gamma?: number;
  /** In place of rho and gamma; default "equal". */
  weighting?: TimeWeighting;
}

/** Result of {@link logRank}. */
export interface LogRank extends Test {
  /** In ascending order of label. Observed and expected carry the time weights. */
  groups: {
    group: string | number;
    /** Rows. */
    n: number;
    /** Rows with the event. */
    events: number;
    observed: number;
    expected: number;
  }[];
  /** Of observed - expected, k x k row-major, groups in the order of `groups`. */
  covariance: Float64Array;
}

/**
 * Log-rank test that k groups share one hazard, with its weighted relatives.
 *
 * U_g = sum over event times of w(t) (d_g - n_g d / n), covariance the sum of
 * w^2 d (n - d) / (n - 1) (diag(p) - p p'), p = n_g / n (hypergeometric; a time with one at risk
 * adds nothing); statistic U' V^- U, chi-square with as many degrees of freedom as V has rank:
 * k - 1, less where a group had nobody at risk at any event. Strata are summed, time weights being
 * made within each stratum.
 *
 * Time weights w(t): Fleming-Harrington S(t-)^rho (1 - S(t-))^gamma, S the pooled Kaplan-Meier of
 * the stratum just before t (0^0 = 1). By `weighting`: "equal" 1; "at-risk" n (Gehan's form of the
 * Wilcoxon test); "root-at-risk" the square root of n (Tarone-Ware); "shrunken-survival" the
 * product up to and including t of 1 - d / (n + 1) (Peto-Peto, modified by Andersen).
 *
 * Case weights (inverse probability and the like): d and n become weighted sums, and the covariance
 * is that of drawing which d of the n rows at risk fail, each as likely, with their weights as they
 * are: at each time d (n - d) / (n - 1) times the mean over rows at risk of c c', c the weight
 * times (unit vector of the group - p). It equals the ordinary one at unit weights, and multiplying
 * all weights leaves the statistic as it is (but for "shrunken-survival"). They are taken as known.
 *
 * Ties: one table per distinct time; censorings at an event time are still at risk there, entries
 * at it not yet. Without any event at which two groups were at risk there is nothing to test:
 * statistic 0 on 0 degrees of freedom, p value 1. Cost O(n log n + m k^2), one sort.
 *
 * @example Six subjects in two groups
 * ```ts
 * import { logRank } from "mitral";
 * const test = logRank({ time: [1, 2, 3, 4, 5, 6], event: [1, 1, 1, 1, 1, 0], group: [0, 0, 1, 0, 1, 1] });
 * test.groups[1].expected; // 1/2 + 3/5 + 3/4 + 2/3 + 1
 * ```
 * @throws {DataError} for bad columns, fewer than two groups, or negative rho or gamma.
 * @see Mantel (1966) Cancer Chemother Rep 50:163-170; Harrington & Fleming (1982) Biometrika
 * 69:553-566; Gehan (1965) Biometrika 52:203-223; Tarone & Ware (1977) Biometrika 64:156-160;
 * Andersen et al. (1982) Int Stat Rev 50:219-258; weights: Xie & Liu (2005) Stat Med 24:3089-3110.
 */
export function logRank(data: GroupedFollowUp, options: LogRankOptions = {}): LogRank {
  checkDataColumns("logRank", data, [...FOLLOW_UP, "group", "stratum"]);
  const weightOf = timeWeight(options);
  const comparison = groupedComparison(data);
  const { labels, n, events } = comparison;
  const { observed, expected, covariance } = logRankSums(comparison, weightOf);
  const factor = factorSymmetric(covariance, labels.length);
  const score = observed.map((o, g) => o - expected[g]!);
  const solved = solveFactored(factor, score);
  const degreesOfFreedom = labels.length - factor.dropped.length;
  let statistic = 0;
  for (let g = 0; g < labels.length; g++) statistic += score[g]! * solved[g]!;
  return {
    statistic,
    degreesOfFreedom,
    pValue: degreesOfFreedom > 0 ? distributions.chiSquareUpper(statistic, degreesOfFreedom) : 1,
    groups: labels.map((group, g) => ({
      group,
      n: n[g]!,
      events: events[g]!,
      observed: observed[g]!,
      expected: expected[g]!,
    })),
    covariance,
  };
}

function timeWeight({ rho, gamma, weighting = "equal" }: LogRankOptions): WeightOf {
  checkChoice("weighting", weighting, WEIGHTINGS);
  if (weighting !== "equal" && (rho !== undefined || gamma !== undefined)) {
    throw new DataError("weighting", `"equal" where rho or gamma is given`, weighting);
  }
  if (weighting === "at-risk") return (atRisk) => atRisk;
  if (weighting === "root-at-risk") return (atRisk) => Math.sqrt(atRisk);
  if (weighting === "shrunken-survival") return (_atRisk, _survival, shrunken) => shrunken;
  return flemingHarrington(rho, gamma);
}
