import { maximiseMasses } from "../../survival/intervals/mod.ts";
import type { VisitDesign } from "./visit-design.ts";

/** A fitted course: when recurrence would come, and the hazard of death before and after it. */
export interface IllnessDeath {
  /** Probability that recurrence, were there no death, lies in each place. */
  mass: Float64Array;
  /** Hazard of death at each time of death, before recurrence. */
  hazard: Float64Array;
  /** Hazard of death after recurrence over before. */
  ratio: number;
  logLikelihood: number;
  iterations: number;
  converged: boolean;
}

/**
 * Maximum likelihood of an illness-death course by EM.
 *
 * The hidden part is where in its interval each recurrence lies and whether someone not seen to
 * recur did. With p_s the masses, H the cumulative hazard of death before recurrence and r the ratio,
 * a patient's likelihood is, up to the hazard at death itself and divided by exp(-H(T)),
 *
 *   r^dead exp((1 - r) H(T)) * sum over places in the interval of p_s exp(-(1 - r) H(u_s))
 *   + (if never found) the mass after T.
 *
 * Both sums are differences of prefix sums, and what a patient adds to the expected counts is a
 * constant over a range of places or times, kept as differences: O(n + places + deaths) an
 * iteration, with leaps along the direction of two steps. Masses start from the estimate at ratio 1, where the likelihood of the masses is that
 * of interval-censored survival, mixed with a hundredth of equal masses, since EM cannot leave 0.
 *
 * @see Frydman and Szarek (2009) Biometrics 65:143-151 for the model and its EM.
 */
export function fitIllnessDeath(
  design: VisitDesign,
  options: { ratio: number | "estimated"; tolerance: number; maxIterations: number },
): IllnessDeath {
  const places = design.left.length;
  const start = maximiseMasses(design.cover, places, { tolerance: 1e-9, maxIterations: 2000 });
  const fixed = options.ratio !== "estimated";
  const state: IllnessDeath = {
    mass: start.mass.map((p) => 0.99 * p + 0.01 / places),
    hazard: design.dying.map((d, v) => d / design.alive[v]!),
    ratio: options.ratio === "estimated" ? 1 : options.ratio,
    logLikelihood: -Infinity,
    iterations: 0,
    converged: false,
  };
  const counts = expectedCounts(design);
  if (design.deathTime.length === 0 || state.ratio === 1 && fixed) {
    // the masses do not depend on deaths
    state.mass = start.mass;
    state.converged = start.converged;
    state.iterations = start.iterations;
    state.logLikelihood = counts(state).logLikelihood;
    return state;
  }
  const step = (at: Float64Array) => maximisationStep(design, counts, at, fixed);
  let now = packed(state);
  while (state.iterations < options.maxIterations && !state.converged) {
    const first = step(now);
    const second = step(first.next);
    state.iterations += 2;
    state.converged = largestMove(first.next, second.next, places) < options.tolerance;
    state.logLikelihood = second.logLikelihood;
    const leap = extrapolated(now, first.next, second.next, places);
    now = second.next;
    if (state.converged || !leap) continue;
    // the leap counts only if a step from it does not start lower than the plain second step
    const landed = step(leap);
    state.iterations++;
    if (landed.logLikelihood >= second.logLikelihood) now = landed.next;
  }
  state.mass = now.slice(0, places);
  state.hazard = now.slice(places, -1).map(Math.exp);
  state.ratio = Math.exp(now.at(-1)!);
  return state;
}

/** Masses, then log hazards, then the log ratio. */
function packed({ mass, hazard, ratio }: IllnessDeath): Float64Array {
  return Float64Array.of(...mass, ...hazard.map(Math.log), Math.log(ratio));
}

/** Where nobody with a recurrence seems to die the ratio goes to 0, and its logarithm never arrives. */
const leastLogRatio = Math.log(1e-8);

/** One EM step, and the log-likelihood where it started. */
function maximisationStep(
  design: VisitDesign,
  counts: (state: Pick<IllnessDeath, "mass" | "hazard" | "ratio">) => ExpectedCounts,
  at: Float64Array,
  fixed: boolean,
): { next: Float64Array; logLikelihood: number } {
  const places = design.left.length;
  const ratio = Math.exp(at.at(-1)!);
  const expected = counts({
    mass: at.subarray(0, places),
    hazard: at.slice(places, -1).map(Math.exp),
    ratio,
  });
  const next = new Float64Array(at.length);
  for (let s = 0; s < places; s++) next[s] = expected.recurring[s]! / design.total;
  let met = 0;
  for (let v = 0; v < design.dying.length; v++) {
    const after = expected.recurred[v]!;
    const h = design.dying[v]! / (design.alive[v]! + (ratio - 1) * after);
    next[places + v] = Math.log(h);
    met += h * after;
  }
  const estimated = !fixed && met > 0 && expected.dyingAfter > 0;
  next[at.length - 1] = estimated
    ? Math.max(leastLogRatio, Math.log(expected.dyingAfter / met))
    : at.at(-1)!;
  return { next, logLikelihood: expected.logLikelihood };
}

/** Largest change of a cumulative mass, or of the log ratio. */
function largestMove(from: Float64Array, to: Float64Array, places: number): number {
  let move = Math.abs(to.at(-1)! - from.at(-1)!);
  let cumulative = 0;
  for (let s = 0; s < places; s++) {
    cumulative += to[s]! - from[s]!;
    move = Math.max(move, Math.abs(cumulative));
  }
  return move;
}

/**
 * Where two steps point to (Varadhan and Roland 2008, Scand J Stat 35:335-353): a geometric series
 * summed, its rate guessed from the two. Masses are kept at 0 or above and made to add up to 1.
 */
function extrapolated(
  start: Float64Array,
  first: Float64Array,
  second: Float64Array,
  places: number,
): Float64Array | undefined {
  let r = 0;
  let v = 0;
  for (let k = 0; k < start.length; k++) {
    const move = first[k]! - start[k]!;
    r += move * move;
    v += (second[k]! - first[k]! - move) ** 2;
  }
  const length = Math.sqrt(r / v);
  if (!(length > 1 && length < 1e6)) return undefined;
  const leap = start.map((value, k) => {
    const move = first[k]! - value;
    return value + 2 * length * move + length * length * (second[k]! - first[k]! - move);
  });
  let sum = 0;
  for (let s = 0; s < places; s++) {
    // a mass that is leapt to 0 could never come back
    leap[s] = leap[s]! > 0 ? leap[s]! : Math.min(second[s]!, 1e-12);
    sum += leap[s]!;
  }
  for (let s = 0; s < places; s++) leap[s]! /= sum;
  return leap;
}

/** Expected counts given the present estimate. */
export interface ExpectedCounts {
  logLikelihood: number;
  /** Weight recurring in each place. */
  recurring: Float64Array;
  /** Weight alive after recurrence at each time of death. */
  recurred: Float64Array;
  /** Weight dying after recurrence, at each time and in all. */
  dyingAfterAt: Float64Array;
  dyingAfter: number;
}

/** The E step; the arrays returned are reused by the next call. */
export function expectedCounts(
  design: VisitDesign,
): (state: Pick<IllnessDeath, "mass" | "hazard" | "ratio">) => ExpectedCounts {
  const { n, weight, first, last, isFound, death, endAt, clearAt, foundAt, deathsBefore } = design;
  const places = design.left.length;
  const deaths = design.deathTime.length;
  const Q = new Float64Array(places + 1); // prefix sums of p_s exp(-(1 - r) H(u_s))
  const upper = new Float64Array(places + 1); // mass from each place on
  const H = new Float64Array(deaths + 1);
  const lift = new Float64Array(deaths + 1); // exp((1 - r) H)
  const inside = new Float64Array(places + 1);
  const beyond = new Float64Array(places + 1);
  const slope = new Float64Array(deaths + 1);
  const offset = new Float64Array(deaths + 1);
  const known = new Float64Array(deaths + 1);
  const out: ExpectedCounts = {
    logLikelihood: 0,
    recurring: new Float64Array(places),
    recurred: new Float64Array(deaths),
    dyingAfterAt: new Float64Array(deaths),
    dyingAfter: 0,
  };
  return function counts({ mass, hazard, ratio }): ExpectedCounts {
    let logLikelihood = 0;
    lift[0] = 1;
    for (let v = 0; v < deaths; v++) {
      H[v + 1] = H[v]! + hazard[v]!;
      lift[v + 1] = Math.exp((1 - ratio) * H[v + 1]!);
      if (design.dying[v]! > 0) logLikelihood += design.dying[v]! * Math.log(hazard[v]!);
    }
    for (let s = 0; s < places; s++) {
      Q[s + 1] = Q[s]! + mass[s]! / lift[deathsBefore[s]!]!;
    }
    upper[places] = 0;
    for (let s = places - 1; s >= 0; s--) upper[s] = upper[s + 1]! + mass[s]!;
    for (const column of [inside, beyond, slope, offset, known]) column.fill(0);
    out.dyingAfterAt.fill(0);
    out.dyingAfter = 0;
    for (let i = 0; i < n; i++) {
      const w = weight[i]!;
      if (w === 0) continue;
      const end = endAt[i]!;
      const from = first[i]!;
      const to = last[i]!;
      const scale = lift[end]! * (death[i] === 1 ? ratio : 1);
      const within = scale * (Q[to]! - Q[from]!);
      const free = isFound[i] === 1 ? 0 : upper[to]!;
      const likelihood = within + free;
      logLikelihood += w * (Math.log(likelihood) - H[end]!);
      const c = w * scale / likelihood;
      if (to > from) {
        inside[from]! += c;
        inside[to]! -= c;
      }
      if (isFound[i] === 0) beyond[to]! += w / likelihood;
      // recurred by v: c (Q(v) - Q(from)) from the last clear visit until found, then surely
      const until = isFound[i] === 1 ? Math.min(foundAt[i]!, end) : end;
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
        const after = isFound[i] === 1 ? w : w * within / likelihood;
        out.dyingAfterAt[end - 1]! += after;
        out.dyingAfter += after;
      }
    }
    let c = 0;
    let b = 0;
    for (let s = 0; s < places; s++) {
      c += inside[s]!;
      b += beyond[s]!;
      out.recurring[s] = c * (Q[s + 1]! - Q[s]!) + b * mass[s]!;
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
  };
}
