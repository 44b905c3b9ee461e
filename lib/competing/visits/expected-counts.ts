import type { VisitDesign } from "./visit-design.ts";

/** What a course is made of. */
export interface Course {
  /** Probability that recurrence, were there no death, lies in each place. */
  mass: Float64Array;
  /** Hazard of death at each time of death, before recurrence. */
  hazard: Float64Array;
  /** Hazard of death after recurrence over before. */
  ratio: number;
}

/** Expected counts given a course. */
export interface ExpectedCounts {
  logLikelihood: number;
  /** Derivative of the log-likelihood by each mass. */
  gradient: Float64Array;
  /** Of the cumulative mass up to each place: the diagonal of minus the second derivative. */
  curvature: Float64Array;
  /** Weight alive after recurrence at each time of death. */
  recurred: Float64Array;
  /** Weight dying after recurrence, at each time and in all. */
  dyingAfterAt: Float64Array;
  dyingAfter: number;
}

/**
 * The E step, and the log-likelihood of other masses under the same hazards.
 *
 * With p_s the masses, H the cumulative hazard of death before recurrence and r the ratio, a
 * patient's likelihood is, up to the hazard at death itself and divided by exp(-H(T)),
 *
 *   r^dead exp((1 - r) H(T)) * sum over places in the interval of p_s q_s, q_s = exp(-(1 - r)
 *   H(u_s)) + (if never found) the mass after T,
 *
 * which is linear in the masses. Both sums are differences of prefix sums, and what a patient adds
 * to the expected counts is a constant over a range of places or times, kept as differences:
 * O(rows + places + deaths) a call. The arrays returned are reused by the next call.
 */
export function expectedCounts(design: VisitDesign): {
  at(course: Course): ExpectedCounts;
  /** With the hazards and ratio of the last call of `at`. */
  logLikelihoodOf(mass: Float64Array): number;
} {
  const { weight, first, last, isFound, death, endAt, clearAt, foundAt, deathsBefore } = design;
  const rows = weight.length;
  const places = design.left.length;
  const deaths = design.deathTime.length;
  const rate = new Float64Array(places); // q_s
  const Q = new Float64Array(places + 1); // prefix sums of p_s q_s
  const upper = new Float64Array(places + 1); // mass from each place on
  const H = new Float64Array(deaths + 1);
  const lift = new Float64Array(deaths + 1); // exp((1 - r) H)
  const scale = new Float64Array(rows);
  const inside = new Float64Array(places + 1);
  const beyond = new Float64Array(places + 1);
  const bend = new Float64Array(places + 1);
  const slope = new Float64Array(deaths + 1);
  const offset = new Float64Array(deaths + 1);
  const known = new Float64Array(deaths + 1);
  let ofHazards = 0; // what hazards alone add to the log-likelihood
  const out: ExpectedCounts = {
    logLikelihood: 0,
    gradient: new Float64Array(places),
    curvature: new Float64Array(places),
    recurred: new Float64Array(deaths),
    dyingAfterAt: new Float64Array(deaths),
    dyingAfter: 0,
  };

  function sums(mass: Float64Array): void {
    for (let s = 0; s < places; s++) Q[s + 1] = Q[s]! + mass[s]! * rate[s]!;
    for (let s = places - 1; s >= 0; s--) upper[s] = upper[s + 1]! + mass[s]!;
  }

  function underHazards({ hazard, ratio }: Course): void {
    ofHazards = 0;
    lift[0] = 1;
    for (let v = 0; v < deaths; v++) {
      H[v + 1] = H[v]! + hazard[v]!;
      lift[v + 1] = Math.exp((1 - ratio) * H[v + 1]!);
      if (design.dying[v]! > 0) ofHazards += design.dying[v]! * Math.log(hazard[v]!);
    }
    for (let s = 0; s < places; s++) rate[s] = 1 / lift[deathsBefore[s]!]!;
    for (let i = 0; i < rows; i++) {
      if (weight[i] === 0) continue;
      scale[i] = lift[endAt[i]!]! * (death[i] === 1 ? ratio : 1);
      ofHazards -= weight[i]! * H[endAt[i]!]!;
    }
  }

  function at(course: Course): ExpectedCounts {
    underHazards(course);
    const { mass } = course;
    sums(mass);
    for (const column of [inside, beyond, bend, slope, offset, known]) column.fill(0);
    out.curvature.fill(0);
    out.dyingAfterAt.fill(0);
    out.dyingAfter = 0;
    let logLikelihood = ofHazards;
    for (let i = 0; i < rows; i++) {
      const w = weight[i]!;
      if (w === 0) continue;
      const end = endAt[i]!;
      const from = first[i]!;
      const to = last[i]!;
      const seen = isFound[i] === 1;
      // a difference of sums loses digits where one place stands alone
      const sum = to === from + 1 ? mass[from]! * rate[from]! : Q[to]! - Q[from]!;
      const within = scale[i]! * sum;
      const likelihood = within + (seen ? 0 : upper[to]!);
      logLikelihood += w * Math.log(likelihood);
      const each = w / likelihood;
      const c = each * scale[i]!;
      const square = each / likelihood;
      if (to > from) {
        inside[from]! += c;
        inside[to]! -= c;
        const stretch = square * scale[i]! ** 2;
        bend[from]! += stretch;
        bend[to - 1]! -= stretch;
        if (from > 0) out.curvature[from - 1]! += stretch * rate[from]! ** 2;
        const leap = scale[i]! * rate[to - 1]! - (seen ? 0 : 1);
        out.curvature[to - 1]! += square * leap * leap;
      } else if (to > 0) out.curvature[to - 1]! += square;
      if (!seen) beyond[to]! += each;
      // recurred by v: c (Q(v) - Q(from)) from the last clear visit until found, then surely
      const until = seen ? foundAt[i]! : end;
      const since = clearAt[i]!;
      if (until > since) {
        slope[since]! += c;
        slope[until]! -= c;
        offset[since]! += c * Q[from]!;
        offset[until]! -= c * Q[from]!;
      }
      if (end > until) {
        known[until]! += w;
        known[end]! -= w;
      }
      if (death[i] === 1) {
        const after = seen ? w : each * within;
        out.dyingAfterAt[end - 1]! += after;
        out.dyingAfter += after;
      }
    }
    let c = 0;
    let b = 0;
    let a = 0;
    for (let s = 0; s < places; s++) {
      c += inside[s]!;
      b += beyond[s]!;
      a += bend[s]!;
      out.gradient[s] = c * rate[s]! + b;
      const step = s + 1 < places ? rate[s]! - rate[s + 1]! : 0;
      out.curvature[s]! += Math.max(0, a) * step * step;
    }
    let gain = 0;
    let base = 0;
    let sure = 0;
    for (let v = 0, s = 0; v < deaths; v++) {
      gain += slope[v]!;
      base += offset[v]!;
      sure += known[v]!;
      while (s < places && deathsBefore[s]! <= v) s++; // places before this death
      out.recurred[v] = Math.max(0, gain * Q[s]! - base) + sure;
    }
    out.logLikelihood = logLikelihood;
    return out;
  }

  function logLikelihoodOf(mass: Float64Array): number {
    sums(mass);
    let logLikelihood = ofHazards;
    for (let i = 0; i < rows; i++) {
      const w = weight[i]!;
      if (w === 0) continue;
      const from = first[i]!;
      const to = last[i]!;
      const sum = to === from + 1 ? mass[from]! * rate[from]! : Q[to]! - Q[from]!;
      const likelihood = scale[i]! * sum + (isFound[i] === 1 ? 0 : upper[to]!);
      if (!(likelihood > 0)) return -Infinity;
      logLikelihood += w * Math.log(likelihood);
    }
    return logLikelihood;
  }

  return { at, logLikelihoodOf };
}
