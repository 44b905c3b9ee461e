import {
  checkNumber,
  DataError,
  type FollowUp,
  type FollowUpColumns,
  followUpColumns,
  groupColumn,
  type Labels,
} from "../../numerics/mod.ts";
import { partsOf } from "../curve/mod.ts";

/** Follow-up with groups to compare and, optionally, strata to compare within. */
export type GroupedFollowUp = FollowUp & { group: Labels; stratum?: Labels };

/** w(t) from the rows at risk, S(t-) and the shrunken survival at t. */
export type WeightOf = (atRisk: number, survival: number, shrunken: number) => number;

/** The Fleming-Harrington weight of given powers. @throws {DataError} if one is negative. */
export function flemingHarrington(rho = 0, gamma = 0): WeightOf {
  for (const [name, power] of [["rho", rho], ["gamma", gamma]] as const) {
    checkNumber(name, power, (value) => value >= 0 && value < Infinity, "a finite number >= 0");
  }
  if (rho === 0 && gamma === 0) return () => 1;
  if (rho === 1 && gamma === 0) return (_atRisk, survival) => survival;
  return (_atRisk, survival) => survival ** rho * (1 - survival) ** gamma;
}

/** Twice the group's code, plus 1 for an event: in one small column, as it is read out of order. */
type Marks = Uint8Array | Int32Array;

/** Validated columns of a comparison of groups, in strata where there are any. */
export interface GroupedComparison {
  labels: (string | number)[];
  /** Rows of each group. */
  n: Float64Array;
  /** Rows with the event in each group. */
  events: Float64Array;
  parts: FollowUpColumns[];
  marks: Marks;
}

/** Checks and sorts once, however many tests follow. @throws {DataError} */
export function groupedComparison(data: GroupedFollowUp): GroupedComparison {
  const columns = followUpColumns(data);
  const { codes, labels } = groupColumn("group", data.group, columns.n);
  const k = labels.length;
  if (k < 2) throw new DataError("group", "at least two different labels", k);
  const stratum = data.stratum && groupColumn("stratum", data.stratum, columns.n);
  const n = new Float64Array(k);
  const events = new Float64Array(k);
  const marks: Marks = k < 128 ? new Uint8Array(columns.n) : new Int32Array(columns.n);
  for (let row = 0; row < columns.n; row++) {
    const g = codes[row]!;
    const event = columns.event[row]!;
    marks[row] = 2 * g + event;
    n[g]!++;
    events[g]! += event;
  }
  return { labels, n, events, parts: stratum ? partsOf(columns, stratum) : [columns], marks };
}

/** Weighted observed and expected events of k groups, with the covariance of their difference. */
export interface LogRankSums {
  observed: Float64Array;
  expected: Float64Array;
  /** k x k, row-major. */
  covariance: Float64Array;
}

/** The sums of a log-rank test over all strata, for one weight over time. */
export function logRankSums(
  { labels, parts, marks }: GroupedComparison,
  weightOf: WeightOf,
): LogRankSums {
  const k = labels.length;
  const sums = {
    observed: new Float64Array(k),
    expected: new Float64Array(k),
    covariance: new Float64Array(k * k),
  };
  for (const part of parts) addStratum(part, marks, weightOf, sums);
  const { covariance } = sums;
  for (let g = 0; g < k; g++) {
    for (let h = 0; h < g; h++) covariance[h * k + g] = covariance[g * k + h]!;
  }
  return sums;
}

/** Adds one stratum, walking its times upwards; at-risk counts are whole numbers, so exact. */
function addStratum(
  columns: FollowUpColumns,
  marks: Marks,
  weightOf: WeightOf,
  { observed, expected, covariance }: LogRankSums,
): void {
  const { n, sortedTime, order, entry, entryOrder, weight } = columns;
  const k = observed.length;
  const rowsAtRisk = new Float64Array(k); // rows
  const atRisk = weight ? new Float64Array(k) : rowsAtRisk; // weights
  const squares = weight ? new Float64Array(k) : rowsAtRisk; // squared weights
  const failed = new Float64Array(k);
  const come = (from: Uint32Array, start: number, end: number) => {
    for (let i = start; i < end; i++) {
      const g = marks[from[i]!]! >> 1;
      rowsAtRisk[g]!++;
      if (!weight) continue;
      const w = weight[from[i]!]!;
      atRisk[g]! += w;
      squares[g]! += w * w;
    }
  };
  if (!entry) come(order, 0, n);
  let entered = entry ? 0 : n;
  let survival = 1;
  let shrunken = 1;
  for (let start = 0, end = 0; start < n; start = end) {
    const t = sortedTime[start]!;
    if (entry && entryOrder) {
      const before = entered;
      while (entered < n && entry[entryOrder[entered]!]! < t) entered++;
      come(entryOrder, before, entered);
    }
    let rowsFailed = 0;
    let totalFailed = 0;
    for (end = start; end < n && sortedTime[end] === t; end++) {
      const mark = marks[order[end]!]!;
      if ((mark & 1) === 0) continue;
      const w = weight ? weight[order[end]!]! : 1;
      rowsFailed++;
      totalFailed += w;
      failed[mark >> 1]! += w;
    }
    if (rowsFailed > 0) {
      const rows = entered - start;
      let total = rows;
      if (weight) {
        total = 0;
        for (let g = 0; g < k; g++) total += atRisk[g]!;
      }
      shrunken *= 1 - totalFailed / (total + 1);
      const w = weightOf(total, survival, shrunken);
      const hazard = w * totalFailed / total;
      for (let g = 0; g < k; g++) {
        observed[g]! += w * failed[g]!;
        expected[g]! += hazard * atRisk[g]!;
        failed[g] = 0;
      }
      if (rows > rowsFailed) {
        const share = w * w * rowsFailed * (rows - rowsFailed) / ((rows - 1) * rows);
        addCovariance(covariance, share, atRisk, squares, total);
        survival *= (total - totalFailed) / total;
      } else survival = 0;
    }
    for (let i = start; i < end; i++) {
      const g = marks[order[i]!]! >> 1;
      rowsAtRisk[g]!--;
      if (!weight) continue;
      const w = weight[order[i]!]!;
      // exactly nothing once nobody is left, whatever the rounding
      atRisk[g] = rowsAtRisk[g] === 0 ? 0 : atRisk[g]! - w;
      squares[g] = rowsAtRisk[g] === 0 ? 0 : squares[g]! - w * w;
    }
  }
}

/**
 * Adds share * sum over groups h of q_h (e_h - p)(e_h - p)', q the sums of squared weights, to the
 * lower triangle.
 */
function addCovariance(
  covariance: Float64Array,
  share: number,
  atRisk: Float64Array,
  squares: Float64Array,
  total: number,
): void {
  const k = atRisk.length;
  const inverse = 1 / total;
  let q = 0;
  for (let g = 0; g < k; g++) q += squares[g]!;
  for (let g = 0; g < k; g++) {
    const p = atRisk[g]! * inverse;
    for (let h = 0; h <= g; h++) {
      const r = atRisk[h]! * inverse;
      const cross = q * p * r - squares[g]! * r - squares[h]! * p;
      covariance[g * k + h]! += share * (g === h ? cross + squares[g]! : cross);
    }
  }
}
