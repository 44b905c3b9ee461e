import {
  checkChoice,
  chiSquareResult,
  DataError,
  factorSymmetric,
  invertFactored,
  multiplySquare,
  type Test,
} from "../../../numerics/mod.ts";
import { type CoxFit, type CoxState, stateOf, tableOf, timeScoreProducts } from "../model/mod.ts";
import { inverseForm } from "../likelihood/mod.ts";
import {
  addWeightedProducts,
  exposure,
  mirror,
  panel,
  riskSets,
  walkRiskSets,
} from "../rows/mod.ts";
import { refuseExact, schoenfeldRows } from "./residuals.ts";
import { transformedTimes } from "./time-transform.ts";

/** How {@link proportionalHazardsTest} is done. */
export interface ProportionalHazardsOptions {
  /**
   * How time enters: g(t) = t, log t, its rank among all observed times, or 1 - S(t-) with S the
   * pooled Kaplan-Meier curve (default, so that outlying late events carry no more weight).
   */
  transform?: "identity" | "log" | "rank" | "km";
  /**
   * "score" (default): with the information as it varies over time. "approximate": as if the
   * covariance of the covariates among those at risk were the same at every event time.
   */
  form?: "score" | "approximate";
}

/** What {@link proportionalHazardsTest} gives. */
export interface ProportionalHazardsTest {
  /** One test a covariate, 1 degree of freedom. */
  terms: (Test & { name: string })[];
  /** All covariates together. */
  global: Test;
  /** The function of time that was tried. */
  transform: "identity" | "log" | "rank" | "km";
  /** Whether the variance is the robust one: with weights or clusters. */
  robust: boolean;
}

/**
 * Tests proportional hazards: is any coefficient b + theta g(t), theta not 0?
 *
 * The score test of theta = 0 with b at its estimate. With U the sum over deaths of g(t) (x - mean
 * at t), and A, B, C the sums over event times of V(t), g V(t), g^2 V(t), V(t) the covariance of x
 * in the risk set (Efron: averaged over the removal of tied deaths):
 *
 *   variance of U = C - B A^-1 B;   one covariate: U_k^2 / variance_kk;   global: U' variance^-1 U.
 *
 * Invariant to a shift or scale of g. With weights or clusters the variance is robust: the sum over
 * clusters (rows, without clusters) of the products of their influences on U, b re-estimated. Under
 * weights that are not counts the other one has the wrong size, and grows with the scale of the
 * weights; this one does not change with it. Weights are taken as known. "km" counts each row once
 * in either case. Cost O(n p^2), about three Newton steps.
 *
 * @example
 * ```ts
 * import { coxRegression, proportionalHazardsTest } from "mitral";
 * const data = { time: [1, 2, 3, 4, 5, 6], event: [1, 1, 0, 1, 1, 0] };
 * const fit = coxRegression({ ...data, covariates: { age: [70, 58, 66, 61, 72, 64] } });
 * const { global, terms } = proportionalHazardsTest(fit, { transform: "km" });
 * ```
 * @throws {DataError} For anything but an unpenalised fit with Efron or Breslow ties; for "log"
 * with an event at time 0; for form "approximate" with weights or clusters.
 * @see Grambsch & Therneau (1994) Biometrika 81:515-526; robust: Lin & Wei (1989) JASA
 * 84:1074-1078.
 */
export function proportionalHazardsTest(
  fit: CoxFit,
  options: ProportionalHazardsOptions = {},
): ProportionalHazardsTest {
  const transform = checkChoice(
    "transform",
    options.transform ?? "km",
    ["identity", "log", "rank", "km"],
  );
  const form = checkChoice("form", options.form ?? "score", ["score", "approximate"]);
  const state = stateOf(fit);
  refuseExact(state, "this test");
  if (state.penalty !== "none") {
    throw new DataError("fit", "one without penalty (its score is 0 at the estimate)", fit.penalty);
  }
  const g = centred(state, transformedTimes(state, transform));
  const robust = state.cluster !== undefined || state.design.weight !== undefined;
  if (robust && form === "approximate") {
    throw new DataError("form", '"score" with weights or clusters', form);
  }
  const { statistics, global } = form === "score"
    ? scoreForm(state, g, robust)
    : approximate(state, g);
  const { p } = state.design;
  return {
    terms: statistics.map((statistic, j) => ({
      name: state.names[state.kept[j]!]!,
      ...chiSquareResult(statistic, 1),
    })),
    global: chiSquareResult(global, p),
    transform,
    robust,
  };
}

interface Statistics {
  statistics: number[];
  global: number;
}

function scoreForm(state: CoxState, g: Float64Array, robust: boolean): Statistics {
  const { design, beta, efron } = state;
  const { n, p, x, weight, groups, groupStart, groupDeaths } = design;
  const plain = new Float64Array(p * p);
  const once = new Float64Array(p * p);
  const twice = new Float64Array(p * p);
  const panels = [panel(plain, p), panel(once, p), panel(twice, p)] as const;
  const sets = riskSets(design);
  walkRiskSets(design, beta, efron, sets, (k, _fraction, share, _hazard, mean) => {
    const at = g[k]!;
    panels[0].add(mean, -share);
    panels[1].add(mean, -share * at);
    panels[2].add(mean, -share * at * at);
  });
  for (const each of panels) each.flush();

  const expected = new Float64Array(n);
  const score = new Float64Array(p);
  const increment = sets.hazard.slice();
  const spared = sets.spared.slice();
  for (const [power, matrix] of [plain, once, twice].entries()) {
    if (power > 0) {
      for (let k = 0; k < groups; k++) {
        increment[k]! *= g[k]!;
        spared[k]! *= g[k]!;
      }
    }
    exposure(design, sets, increment, spared, expected);
    const sum = new Float64Array(p);
    addWeightedProducts(x, p, 0, n, expected, matrix, sum);
    mirror(matrix, p);
    if (power === 1) { for (let j = 0; j < p; j++) score[j]! -= sum[j]!; }
  }
  for (let k = 0; k < groups; k++) {
    for (let i = groupStart[k]!; i < groupStart[k]! + groupDeaths[k]!; i++) {
      const w = (weight ? weight[i]! : 1) * g[k]!;
      for (let j = 0; j < p; j++) score[j]! += w * x[i * p + j]!;
    }
  }

  const inverse = invertFactored(factorSymmetric(plain, p));
  const through = multiplySquare(once, inverse, p);
  const explained = multiplySquare(through, once, p);
  const variance = robust
    ? timeScoreProducts(design, tableOf(state), state.cluster, g, through)
    : twice.map((value, at) => value - explained[at]!);
  mirror(variance, p);
  const statistics = Array.from(score, (u, j) => quotient(u * u, variance[j * p + j]!));
  return { statistics, global: inverseForm(variance, score) };
}

/** Correlation of g with the scaled Schoenfeld residuals, V(t) taken as constant. */
function approximate(state: CoxState, g: Float64Array): Statistics {
  const { design, covariance } = state;
  const { p } = design;
  const { rows } = schoenfeldRows(state);
  const u = new Float64Array(p);
  let squares = 0;
  let events = 0;
  for (let k = 0; k < design.groups; k++) {
    for (let m = 0; m < design.groupDeaths[k]!; m++, events++) {
      squares += g[k]! * g[k]!;
      for (let j = 0; j < p; j++) u[j]! += g[k]! * rows[events * p + j]!;
    }
  }
  const statistics: number[] = [];
  let global = 0;
  for (let j = 0; j < p; j++) {
    let scaled = 0;
    for (let a = 0; a < p; a++) scaled += covariance[j * p + a]! * u[a]!;
    global += u[j]! * scaled;
    statistics.push(quotient(events * scaled * scaled, covariance[j * p + j]! * squares));
  }
  return { statistics, global: quotient(events * global, squares) };
}

/** g less its mean over the events. */
function centred(state: CoxState, g: Float64Array): Float64Array {
  const { groupDeaths } = state.design;
  let sum = 0;
  let events = 0;
  g.forEach((value, k) => {
    sum += groupDeaths[k]! * value;
    events += groupDeaths[k]!;
  });
  return g.map((value) => value - sum / events);
}

/** A score without variance (all events at one time, say) holds no evidence. */
function quotient(square: number, variance: number): number {
  return variance > 0 ? square / variance : 0;
}
