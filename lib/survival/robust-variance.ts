import type { FollowUpColumns } from "../numerics/columns.ts";
import type { EventTable } from "./event-table.ts";

/**
 * Variance of log S(t) by the infinitesimal jackknife, one value per row of the table.
 *
 * The derivative of log S(t) in the weight of row i is
 *   u_i(t) = G(min(t, exit_i)) - G(entry_i) - [event at exit_i <= t] / (n - d at exit_i),
 * G(t) the Greenwood sum of d / (n (n - d)); the variance is the sum over clusters of
 * (sum of w_i u_i)^2, a row being its own cluster unless `cluster` says otherwise. A row that has
 * left contributes a constant a, one still under observation w (G - G(entry)): three running sums
 * (of A^2, A B and B^2 over clusters, A + B G the cluster's total) carry the whole thing.
 * NaN from the first time at which everyone at risk fails. Cost O(n), however many times and
 * clusters there are.
 *
 * @see Efron (1981) JASA 76:312-319; Lin & Wei (1989) JASA 84:1074-1078 for the clusters.
 */
export function jackknifeLogVariance(
  columns: FollowUpColumns,
  table: EventTable,
  cluster?: { codes: Int32Array; labels: ArrayLike<unknown> },
): Float64Array {
  const { n, sortedTime, event: code, entry, entryOrder, weight, order } = columns;
  const rows = table.time.length;
  const variance = new Float64Array(rows).fill(NaN);
  const constant = cluster && new Float64Array(cluster.labels.length);
  const slope = cluster && new Float64Array(cluster.labels.length);
  const base = entry && new Float64Array(columns.time.length);
  let aa = 0;
  let ab = 0;
  let bb = 0;
  const add = (row: number, a: number, b: number) => {
    if (constant && slope) {
      const c = cluster.codes[row]!;
      const oldA = constant[c]!;
      const oldB = slope[c]!;
      const newA = constant[c] = oldA + a;
      const newB = slope[c] = oldB + b;
      aa += newA * newA - oldA * oldA;
      ab += newA * newB - oldA * oldB;
      bb += newB * newB - oldB * oldB;
    } else {
      aa += a * a;
      ab += a * b;
      bb += b * b;
    }
  };
  /** Takes a row out of the risk set: w (G - base) becomes the constant w (G - base - jump). */
  const settle = (row: number, w: number, from: number, fixed: number) => {
    if (cluster) add(row, w * (fixed + from), -w);
    else {
      aa += w * w * (fixed * fixed - from * from);
      ab += w * w * from;
      bb -= w * w;
    }
  };
  if (!entry) { for (let k = 0; k < n; k++) add(order[k]!, 0, weight ? weight[order[k]!]! : 1); }
  let sum = 0; // G
  let i = 0;
  let next = 0;
  for (let j = 0; j < rows; j++) {
    const t = table.time[j]!;
    if (entry && entryOrder && base) {
      while (next < n && entry[entryOrder[next]!]! < t) {
        const row = entryOrder[next++]!;
        const w = weight ? weight[row]! : 1;
        base[row] = sum;
        add(row, -w * sum, w);
      }
    }
    const events = table.eventCount[j]!;
    if (events > 0 && events === table.atRiskCount[j]!) break;
    const left = table.atRisk[j]! - table.event[j]!;
    if (events > 0) sum += table.event[j]! / (table.atRisk[j]! * left);
    for (; i < n && sortedTime[i] === t; i++) {
      const row = order[i]!;
      const from = base ? base[row]! : 0;
      const fixed = sum - from - (code[row]! > 0 ? 1 / left : 0);
      settle(row, weight ? weight[row]! : 1, from, fixed);
    }
    // without an event nothing changes; copying keeps rounding from moving a flat step
    if (events === 0) variance[j] = j > 0 ? variance[j - 1]! : 0;
    else variance[j] = Math.max(0, aa + 2 * sum * ab + sum * sum * bb);
  }
  return variance;
}

/** Sum over clusters of the squared total of w_i u_i: the variance from one value u a row. */
export function clusteredSquares(
  influence: Float64Array,
  weight: Float64Array | undefined,
  cluster?: { codes: Int32Array; labels: ArrayLike<unknown> },
): number {
  let squares = 0;
  if (!cluster) {
    for (let row = 0; row < influence.length; row++) {
      squares += (influence[row]! * (weight ? weight[row]! : 1)) ** 2;
    }
    return squares;
  }
  const totals = new Float64Array(cluster.labels.length);
  for (let row = 0; row < influence.length; row++) {
    totals[cluster.codes[row]!]! += influence[row]! * (weight ? weight[row]! : 1);
  }
  for (const total of totals) squares += total * total;
  return squares;
}
