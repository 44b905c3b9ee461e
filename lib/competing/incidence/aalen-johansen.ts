import type { FollowUpColumns } from "../../numerics/mod.ts";
import type { CauseTable } from "./cause-table.ts";

/** The Aalen-Johansen estimate at each row of a {@link CauseTable}. */
export interface AalenJohansen {
  /** Probability of no event by each time, that time included. */
  eventFree: Float64Array;
  /** Probability of each cause by each time, that time included. */
  incidence: Float64Array[];
}

/**
 * F_k(t) = sum over t_j <= t of S(t_j-) d_kj / n_j, with S the product of 1 - d_j / n_j over all
 * causes. S is set to exactly 0 when everyone at risk fails. Cost O(m causes).
 */
export function aalenJohansen(table: CauseTable): AalenJohansen {
  const { time, atRisk, rowsAtRisk, rowsFailing, failing, events } = table;
  const m = time.length;
  const eventFree = new Float64Array(m);
  const incidence = events.map(() => new Float64Array(m));
  const reached = new Float64Array(events.length);
  let free = 1;
  for (let j = 0; j < m; j++) {
    const n = atRisk[j]!;
    if (rowsFailing[j]! > 0) {
      for (let k = 0; k < events.length; k++) reached[k]! += free * events[k]![j]! / n;
      free = rowsFailing[j] === rowsAtRisk[j] ? 0 : free * (n - failing[j]!) / n;
    }
    eventFree[j] = free;
    for (let k = 0; k < events.length; k++) incidence[k]![j] = reached[k]!;
  }
  return { eventFree, incidence };
}

/**
 * Delta-method standard errors of the cumulative incidence at every time, rows counting 1 each:
 *
 *   variance F_k(t) = sum over j <= t of  (F(t) - F(t_j))^2 d_j / (n_j (n_j - d_j))
 *     + S(t_j-)^2 d_kj (n_j - d_kj) / n_j^3  -  2 (F(t) - F(t_j)) S(t_j-) d_kj / n_j^2.
 *
 * As F(t) rises the sums are moved along, never formed anew: O(m causes).
 */
export function deltaErrors(table: CauseTable, estimate: AalenJohansen): Float64Array[] {
  const { time, rowsAtRisk, rowsFailing, events } = table;
  return events.map((own, k) => {
    const errors = new Float64Array(time.length);
    const incidence = estimate.incidence[k]!;
    let spread = 0; // sum of d / (n (n - d))
    let reach = 0; // sum of (F - F_j) d / (n (n - d))  -  S d_k / n^2
    let variance = 0;
    let largest = 0;
    for (let j = 0; j < time.length; j++) {
      const d = rowsFailing[j]!;
      if (d > 0) {
        const n = rowsAtRisk[j]!;
        const before = j === 0 ? 1 : estimate.eventFree[j - 1]!;
        const share = own[j]! / n;
        const step = incidence[j]! - (j === 0 ? 0 : incidence[j - 1]!);
        variance += step * (2 * reach + step * spread) + before * before * share * (1 - share) / n;
        reach += step * spread - before * share / n;
        if (d < n) spread += d / (n * (n - d)); // else F no longer moves
      }
      // what is left of it when F reaches 1 is rounding
      largest = Math.max(largest, variance);
      errors[j] = variance > 1e-14 * largest ? Math.sqrt(variance) : 0;
    }
    return errors;
  });
}

/**
 * Infinitesimal-jackknife standard errors of the cumulative incidence at every time.
 *
 * The derivative of F_k(t) in the weight of row i, at risk on (E, T], is
 *
 *   sum over j <= t of  -(F(t) - F(t_j)) a_ij + b_ij,
 *   a_ij = (dN_i - Y_i d_j/n_j) / (n_j - d_j),   b_ij = S(t_j-) (dN_ki - Y_i d_kj/n_j) / n_j,
 *
 * and the variance is the sum over clusters of (sum of w_i times the derivative) squared. While a
 * row is at risk its derivative is a function of time alone, and once it has left only F(t) moves
 * it, so the sum of squares is a quadratic form in second moments over clusters of
 *
 *   W (weight still at risk), alpha (the a's of those who left) and gamma = (their b's) - F alpha,
 *
 * and each row changes the moments twice: on entry and on exit. Cost O(n causes + m causes).
 *
 * Without weights, clusters and delayed entry it equals the delta method; with delayed entry to
 * first order only.
 *
 * @param cluster One code a row, 0..clusters-1; each row its own cluster where left out.
 */
export function jackknifeErrors(
  columns: FollowUpColumns,
  table: CauseTable,
  estimate: AalenJohansen,
  cluster?: { codes: Int32Array; count: number },
): Float64Array[] {
  const { n, entry, weight, order, entryOrder } = columns;
  const { time, start, atRisk, rowsAtRisk, rowsFailing, failing, events, causeIndex } = table;
  const causes = events.length;
  const m = time.length;
  const clusters = cluster ? cluster.count : n;
  const errors = events.map(() => new Float64Array(m));

  // a row that is a cluster, and there from the beginning, moves once: from its weight to nothing
  const once = !cluster && !entry;
  const W = new Float64Array(once ? 0 : clusters);
  const alpha = new Float64Array(once ? 0 : clusters);
  const beta = events.map(() => new Float64Array(once ? 0 : clusters));
  // moments over clusters
  let mWW = 0, mWA = 0, mAA = 0;
  const mWG = new Float64Array(causes);
  const mAG = new Float64Array(causes);
  const mGG = new Float64Array(causes);
  // functions of time: G of a, P of F a - b, h = F G - P
  let G = 0;
  const F = new Float64Array(causes);
  const P = new Float64Array(causes);
  const h = new Float64Array(causes);

  /** Adds dW, dA, dB to cluster c and keeps the moments in step. dB is `change`. */
  const change = new Float64Array(causes);
  function move(c: number, dW: number, dA: number): void {
    const w0 = W[c]!, a0 = alpha[c]!;
    const w1 = w0 + dW, a1 = a0 + dA;
    mWW += w1 * w1 - w0 * w0;
    mWA += w1 * a1 - w0 * a0;
    mAA += a1 * a1 - a0 * a0;
    for (let k = 0; k < causes; k++) {
      const b0 = beta[k]![c]!;
      const b1 = b0 + change[k]!;
      const g0 = b0 - F[k]! * a0, g1 = b1 - F[k]! * a1;
      mWG[k]! += w1 * g1 - w0 * g0;
      mAG[k]! += a1 * g1 - a0 * g0;
      mGG[k]! += g1 * g1 - g0 * g0;
      beta[k]![c] = b1;
    }
    W[c] = w1;
    alpha[c] = a1;
  }

  /** The same for a row of weight w that moves once, whose a and b were 0. */
  function leave(w: number, a: number): void {
    mWW -= w * w;
    mAA += a * a;
    for (let k = 0; k < causes; k++) {
      const g = change[k]! - F[k]! * a;
      mAG[k]! += a * g;
      mGG[k]! += g * g;
    }
  }

  if (once) {
    for (let i = 0; i < n; i++) mWW += weight ? weight[i]! ** 2 : 1;
  } else if (!entry) {
    for (let i = 0; i < n; i++) W[cluster ? cluster.codes[i]! : i]! += weight ? weight[i]! : 1;
    for (let c = 0; c < clusters; c++) mWW += W[c]! * W[c]!;
  }
  let mostWW = mWW;
  let entering = 0;
  let before = 1; // S(t-)
  for (let j = 0; j < m; j++) {
    if (entry) {
      for (; entering < n && entry[entryOrder![entering]!]! < time[j]!; entering++) {
        const i = entryOrder![entering]!;
        const w = weight ? weight[i]! : 1;
        for (let k = 0; k < causes; k++) change[k] = w * P[k]!;
        move(cluster ? cluster.codes[i]! : i, w, w * G);
      }
      mostWW = Math.max(mostWW, mWW);
    }
    const risk = atRisk[j]!;
    const left = risk - failing[j]!;
    const someLeft = rowsFailing[j]! < rowsAtRisk[j]!;
    const perLeft = someLeft ? 1 / left : 0; // 0: F no longer moves, so a has no say
    if (rowsFailing[j]! > 0) {
      const dG = someLeft ? failing[j]! / (risk * left) : 0;
      for (let k = 0; k < causes; k++) {
        const step = before * events[k]![j]! / risk;
        if (step > 0) {
          F[k]! += step;
          h[k]! += step * (G - 1 / risk);
          mGG[k]! += step * (step * mAA - 2 * mAG[k]!);
          mAG[k]! -= step * mAA;
          mWG[k]! -= step * mWA;
        }
        P[k]! += F[k]! * dG + step / risk;
      }
      G += dG;
    }
    for (let place = start[j]!; place < start[j + 1]!; place++) {
      const i = order[place]!;
      const w = weight ? weight[i]! : 1;
      const cause = causeIndex[i]!;
      const a = cause < 0 ? 0 : perLeft;
      for (let k = 0; k < causes; k++) {
        change[k] = w * (F[k]! * a - P[k]! + (k === cause ? before / risk : 0));
      }
      if (once) leave(w, w * (a - G));
      else move(cluster ? cluster.codes[i]! : i, -w, w * (a - G));
    }
    for (let k = 0; k < causes; k++) {
      const own = h[k]! * h[k]! * mWW;
      const cross = 2 * h[k]! * mWG[k]!;
      const variance = own + cross + mGG[k]!;
      // below the rounding of its parts, and of the sums that they were part of before rows left,
      // it is 0: the estimate does not move (F = 1, for one)
      const sums = own + Math.abs(cross) + mGG[k]! + F[k]! * F[k]! + h[k]! * h[k]! * mostWW;
      errors[k]![j] = variance > 1e-14 * sums ? Math.sqrt(variance) : 0;
    }
    before = estimate.eventFree[j]!;
  }
  return errors;
}

/**
 * Each row's weighted influence w_i dF_k(t)/dw_i at one time: what the row adds to the estimate, to
 * first order. The rows of a cluster add up; the squares add up to the variance. Cost O(n).
 */
export function incidenceInfluence(
  columns: FollowUpColumns,
  table: CauseTable,
  estimate: AalenJohansen,
  cause: number,
  at: number,
): Float64Array {
  const { n, entry, weight, order, entryOrder } = columns;
  const { time, start, atRisk, rowsAtRisk, rowsFailing, failing, events, causeIndex } = table;
  const influence = new Float64Array(n);
  let last = -1;
  while (last + 1 < time.length && time[last + 1]! <= at) last++;
  if (last < 0) return influence;
  const total = estimate.incidence[cause]![last]!;
  // Q(t) = sum of (F(at) - F(t_j)) d/(n (n - d)) - S d_k / n^2: the influence of being at risk
  let Q = 0;
  let entering = 0;
  let before = 1;
  for (let j = 0; j <= last; j++) {
    if (entry) {
      for (; entering < n && entry[entryOrder![entering]!]! < time[j]!; entering++) {
        influence[entryOrder![entering]!] = -Q;
      }
    }
    const risk = atRisk[j]!;
    const left = risk - failing[j]!;
    const someLeft = rowsFailing[j]! < rowsAtRisk[j]!;
    const rest = total - estimate.incidence[cause]![j]!;
    if (rowsFailing[j]! > 0) {
      if (someLeft) Q += rest * failing[j]! / (risk * left);
      Q -= before * events[cause]![j]! / (risk * risk);
    }
    for (let place = start[j]!; place < start[j + 1]!; place++) {
      const i = order[place]!;
      influence[i]! += Q;
      if (causeIndex[i]! >= 0 && someLeft) influence[i]! -= rest / left;
      if (causeIndex[i] === cause) influence[i]! += before / risk;
    }
    before = estimate.eventFree[j]!;
  }
  for (let place = start[last + 1]!; place < n; place++) {
    const i = order[place]!;
    if (!entry || entry[i]! < time[last]!) influence[i]! += Q;
  }
  if (weight) { for (let i = 0; i < n; i++) influence[i]! *= weight[i]!; }
  return influence;
}
