import {
  checkChoice,
  checkNumber,
  type FollowUp,
  type FollowUpColumns,
  followUpColumns,
  type GroupColumn,
  groupColumn,
  type Labels,
} from "../numerics/columns.ts";
import { distributions } from "../numerics/distributions.ts";
import { DataError } from "../numerics/errors.ts";
import { factorSymmetric, solveFactored } from "../numerics/linear.ts";
import type { Test } from "../numerics/results.ts";

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

/** Follow-up with groups to compare and, optionally, strata to compare within. */
export type GroupedFollowUp = FollowUp & { group: Labels; stratum?: Labels };

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
 * are: at each time d (n - d) / (n - 1) times the mean over rows at risk of c c', c the weight times
 * (unit vector of the group - p). It equals the ordinary one at unit weights, and multiplying all
 * weights leaves the statistic as it is (but for "shrunken-survival"). They are taken as known.
 *
 * Ties: one table per distinct time; censorings at an event time are still at risk there, entries
 * at it not yet. Without any event at which two groups were at risk there is nothing to test:
 * statistic 0 on 0 degrees of freedom, p value 1. Cost O(n log n + m k^2), one sort.
 *
 * @example Six subjects in two groups
 * ```ts
 * const test = logRank({ time: [1, 2, 3, 4, 5, 6], event: [1, 1, 1, 1, 1, 0], group: [0, 0, 1, 0, 1, 1] });
 * test.groups[1].expected; // 1/2 + 3/5 + 3/4 + 2/3 + 1
 * ```
 * @throws {DataError} for bad columns, fewer than two groups, or negative rho or gamma.
 * @see Mantel (1966) Cancer Chemother Rep 50:163-170; Harrington & Fleming (1982) Biometrika
 * 69:553-566; Gehan (1965) Biometrika 52:203-223; Tarone & Ware (1977) Biometrika 64:156-160;
 * Andersen et al. (1982) Int Stat Rev 50:219-258; weights: Xie & Liu (2005) Stat Med 24:3089-3110.
 */
export function logRank(data: GroupedFollowUp, options: LogRankOptions = {}): LogRank {
  const { columns, group, stratum } = groupedColumns(data);
  const weightOf = timeWeight(options);
  const k = group.labels.length;
  const sums = newSums(k);
  if (!stratum) addStratum(columns, group.codes, weightOf, sums);
  else {
    for (const part of strataOf(columns, stratum)) addStratum(part, group.codes, weightOf, sums);
  }
  const n = new Float64Array(k);
  const events = new Float64Array(k);
  for (let row = 0; row < columns.n; row++) {
    n[group.codes[row]!]!++;
    if (columns.event[row]! > 0) events[group.codes[row]!]!++;
  }
  const { observed, expected, covariance } = sums;
  const factor = factorSymmetric(covariance, k);
  const score = observed.map((o, g) => o - expected[g]!);
  const solved = solveFactored(factor, score);
  const degreesOfFreedom = k - factor.dropped.length;
  let statistic = 0;
  for (let g = 0; g < k; g++) statistic += score[g]! * solved[g]!;
  return {
    statistic,
    degreesOfFreedom,
    pValue: degreesOfFreedom > 0 ? distributions.chiSquareUpper(statistic, degreesOfFreedom) : 1,
    groups: group.labels.map((label, g) => ({
      group: label,
      n: n[g]!,
      events: events[g]!,
      observed: observed[g]!,
      expected: expected[g]!,
    })),
    covariance,
  };
}

/** Validated columns of a comparison of groups. @throws {DataError} */
export function groupedColumns(
  data: GroupedFollowUp,
): { columns: FollowUpColumns; group: GroupColumn; stratum: GroupColumn | undefined } {
  const columns = followUpColumns(data);
  const group = groupColumn("group", data.group, columns.n);
  if (group.labels.length < 2) {
    throw new DataError("group", "at least two different labels", group.labels.length);
  }
  const stratum = data.stratum && groupColumn("stratum", data.stratum, columns.n);
  return { columns, group, stratum };
}

/** One stratum after another: the same columns, each with its own rows in time order. */
export function* strataOf(
  columns: FollowUpColumns,
  { codes, labels }: GroupColumn,
): Generator<FollowUpColumns> {
  const split = (rows: Uint32Array) => {
    const start = new Uint32Array(labels.length + 1);
    for (const row of rows) start[codes[row]! + 1]!++;
    for (let s = 0; s < labels.length; s++) start[s + 1]! += start[s]!;
    const next = start.slice();
    const sorted = new Uint32Array(rows.length);
    for (const row of rows) sorted[next[codes[row]!]!++] = row;
    return { sorted, start };
  };
  const { sorted, start } = split(columns.order);
  const entries = columns.entryOrder && split(columns.entryOrder).sorted;
  for (let s = 0; s < labels.length; s++) {
    yield {
      ...columns,
      n: start[s + 1]! - start[s]!,
      order: sorted.subarray(start[s]!, start[s + 1]!),
      entryOrder: entries?.subarray(start[s]!, start[s + 1]!),
    };
  }
}

/** w(t) from the rows at risk, S(t-) and the shrunken survival at t. */
type WeightOf = (atRisk: number, survival: number, shrunken: number) => number;

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

/** The Fleming-Harrington weight of given powers. @throws {DataError} if one is negative. */
export function flemingHarrington(rho = 0, gamma = 0): WeightOf {
  for (const [name, power] of [["rho", rho], ["gamma", gamma]] as const) {
    checkNumber(name, power, (value) => value >= 0 && value < Infinity, "a finite number >= 0");
  }
  if (rho === 0 && gamma === 0) return () => 1;
  if (rho === 1 && gamma === 0) return (_atRisk, survival) => survival;
  return (_atRisk, survival) => survival ** rho * (1 - survival) ** gamma;
}

interface Sums {
  observed: Float64Array;
  expected: Float64Array;
  covariance: Float64Array;
}

function newSums(k: number): Sums {
  return {
    observed: new Float64Array(k),
    expected: new Float64Array(k),
    covariance: new Float64Array(k * k),
  };
}

/** Adds one stratum, walking its times upwards; at-risk counts are whole numbers, so exact. */
function addStratum(
  { n, time: exit, event: code, order, entry, entryOrder, weight }: FollowUpColumns,
  codes: Int32Array,
  weightOf: WeightOf,
  { observed, expected, covariance }: Sums,
): void {
  const k = observed.length;
  const rowsAtRisk = new Float64Array(k); // rows
  const atRisk = weight ? new Float64Array(k) : rowsAtRisk; // weights
  const squares = weight ? new Float64Array(k) : rowsAtRisk; // squared weights
  const failed = new Float64Array(k);
  const change = (row: number, sign: number) => {
    const g = codes[row]!;
    rowsAtRisk[g]! += sign;
    if (!weight) return;
    const w = weight[row]!;
    atRisk[g]! += sign * w;
    squares[g]! += sign * w * w;
    if (rowsAtRisk[g] === 0) atRisk[g] = squares[g] = 0;
  };
  if (!entry) { for (let i = 0; i < n; i++) change(order[i]!, 1); }
  let survival = 1;
  let shrunken = 1;
  let next = 0;
  for (let i = 0; i < n;) {
    const t = exit[order[i]!]!;
    if (entry && entryOrder) {
      while (next < n && entry[entryOrder[next]!]! < t) change(entryOrder[next++]!, 1);
    }
    let rowsFailed = 0;
    let end = i;
    for (; end < n; end++) {
      const row = order[end]!;
      if (exit[row] !== t) break;
      if (code[row]! > 0) {
        if (rowsFailed++ === 0) failed.fill(0);
        failed[codes[row]!]! += weight ? weight[row]! : 1;
      }
    }
    if (rowsFailed > 0) {
      let rows = 0;
      let total = 0;
      let totalFailed = 0;
      for (let g = 0; g < k; g++) {
        rows += rowsAtRisk[g]!;
        total += atRisk[g]!;
        totalFailed += failed[g]!;
      }
      shrunken *= 1 - totalFailed / (total + 1);
      const w = weightOf(total, survival, shrunken);
      const share = w * w * rowsFailed * (rows - rowsFailed) / (rows - 1) / rows;
      for (let g = 0; g < k; g++) {
        observed[g]! += w * failed[g]!;
        expected[g]! += w * atRisk[g]! * totalFailed / total;
      }
      if (rows > 1 && share > 0) addCovariance(covariance, share, atRisk, squares, total);
      survival = rowsFailed === rows ? 0 : survival * (total - totalFailed) / total;
    }
    for (; i < end; i++) change(order[i]!, -1);
  }
}

/** Adds share * sum over groups h of q_h (e_h - p)(e_h - p)', q the sums of squared weights. */
function addCovariance(
  covariance: Float64Array,
  share: number,
  atRisk: Float64Array,
  squares: Float64Array,
  total: number,
): void {
  const k = atRisk.length;
  let q = 0;
  for (let g = 0; g < k; g++) q += squares[g]!;
  for (let g = 0; g < k; g++) {
    const p = atRisk[g]! / total;
    for (let h = 0; h <= g; h++) {
      const r = atRisk[h]! / total;
      const cross = q * p * r - squares[g]! * r - squares[h]! * p;
      const value = share * (g === h ? cross + squares[g]! : cross);
      covariance[g * k + h]! += value;
      if (g !== h) covariance[h * k + g]! += value;
    }
  }
}
