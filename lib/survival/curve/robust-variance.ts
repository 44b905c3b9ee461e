import type { FollowUpColumns } from "../../numerics/mod.ts";
import type { EventTable } from "./event-table.ts";

/**
 * Variance of log S(t) by the infinitesimal jackknife, one value per row of the table.
 *
 * The derivative of log S(t) in the weight of row i is
 *   u_i(t) = G(min(t, exit_i)) - G(entry_i) - [event at exit_i <= t] / (n - d at exit_i),
 * G(t) the Greenwood sum of d / (n (n - d)); the variance is the sum over clusters of T^2, T the
 * cluster's total of w_i u_i, a row being its own cluster unless `cluster` says otherwise. With B
 * the weight of a cluster still under observation, a step h of G moves each T by B h: three running
 * sums over clusters (of T^2, T B and B^2) carry the whole thing, and change by one cluster's terms
 * when a row comes or goes. NaN from the first time at which everyone at risk fails. Cost O(n),
 * however many times and clusters there are.
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
  // a cluster's T is constant + slope * G, its B is slope; a row alone has slope w,
  // constant -w base
  const constant = cluster && new Float64Array(cluster.labels.length);
  const slope = cluster && new Float64Array(cluster.labels.length);
  const base = entry && !cluster ? new Float64Array(columns.time.length) : undefined;
  let tt = 0;
  let tb = 0;
  let bb = 0;
  let sum = 0; // G
  const come = (row: number) => {
    const w = weight ? weight[row]! : 1;
    if (constant && slope) {
      const c = cluster!.codes[row]!;
      const b = slope[c]!;
      tb += (constant[c]! + b * sum) * w;
      bb += (2 * b + w) * w;
      constant[c]! -= w * sum;
      slope[c] = b + w;
    } else {
      if (base) base[row] = sum;
      bb += w * w;
    }
  };
  const go = (row: number, jump: number) => {
    const w = weight ? weight[row]! : 1;
    const fall = w * jump; // the event's own term
    if (constant && slope) {
      const c = cluster!.codes[row]!;
      const b = slope[c]!;
      const t = constant[c]! + b * sum;
      tt += (fall - 2 * t) * fall;
      tb += (t - fall) * (b - w) - t * b;
      bb += (w - 2 * b) * w;
      constant[c]! += w * sum - fall;
      slope[c] = b - w;
    } else {
      const t = w * (sum - (base ? base[row]! : 0));
      tt += (fall - 2 * t) * fall;
      tb -= t * w;
      bb -= w * w;
    }
  };
  if (!entry) { for (let k = 0; k < n; k++) come(order[k]!); }
  let i = 0;
  let next = 0;
  for (let j = 0; j < rows; j++) {
    const t = table.time[j]!;
    while (entry && entryOrder && next < n && entry[entryOrder[next]!]! < t) {
      come(entryOrder[next++]!);
    }
    const events = table.eventCount[j]!;
    if (events > 0 && events === table.atRiskCount[j]!) break;
    const left = table.atRisk[j]! - table.event[j]!;
    if (events > 0) {
      const h = table.event[j]! / (table.atRisk[j]! * left);
      sum += h;
      tt += h * (2 * tb + h * bb);
      tb += h * bb;
    }
    for (; i < n && sortedTime[i] === t; i++) {
      const row = order[i]!;
      go(row, code[row]! > 0 ? 1 / left : 0);
    }
    // without an event nothing changes; copying keeps rounding from moving a flat step
    if (events === 0) variance[j] = j > 0 ? variance[j - 1]! : 0;
    else variance[j] = Math.max(0, tt);
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
