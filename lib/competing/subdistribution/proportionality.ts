import {
  checkChoice,
  chiSquareResult,
  DataError,
  multiplySquare,
  type Test,
} from "../../numerics/mod.ts";
import { addWeightedProducts, inverseForm, mirror } from "../../survival/cox/mod.ts";
import type { SubdistributionFit } from "./fit.ts";
import { scoreContributions } from "./influence.ts";
import { expectedEvents, walkWeightedRiskSets, weightedRiskSets } from "./likelihood.ts";
import { crossProducts } from "./robust.ts";
import { stateOf, type SubdistributionState } from "./state.ts";

/** How time enters: g(t) = t, log t, or the incidence at the covariate means just before t. */
export type SubdistributionTime = "identity" | "log" | "incidence";

/** See {@link subdistributionProportionality}. */
export interface SubdistributionProportionality {
  /** One test a covariate, 1 degree of freedom; `score` above 0 where its effect grows with g. */
  terms: (Test & { name: string; score: number })[];
  /** All covariates together. */
  global: Test;
  /** The function of time that was tried. */
  transform: SubdistributionTime;
}

/**
 * Tests proportional subdistribution hazards: is any coefficient b + theta g(t), theta not 0?
 *
 * The score test of theta = 0 with b at its estimate: U = sum over events of g(t) (x - mean at t),
 * and its variance from each row's influence on it, less what goes through the estimate of b,
 * summed within clusters and, as in the fit, through the censoring weights. It is robust, so unlike
 * a test from the information alone it holds for the weighted risk sets of this model.
 *
 * g is centred over events; a shift or scale of it changes nothing. Cost O(n p^2).
 *
 * @throws {DataError} for anything but a fit of `subdistributionRegression`; for "log" with an
 * event at time 0.
 * @see Zhou, Fine and Laird (2013) Stat Med 32:3804-3811 for tests of this model's proportionality.
 */
export function subdistributionProportionality(
  fit: SubdistributionFit,
  options: { transform?: SubdistributionTime } = {},
): SubdistributionProportionality {
  const transform = checkChoice("transform", options.transform ?? "incidence", [
    "identity",
    "log",
    "incidence",
  ]);
  const state = stateOf(fit);
  const { p } = state.design;
  const { score, variance } = timeScore(state, centred(state, transformed(fit, state, transform)));
  return {
    terms: state.kept.map((column, j) => ({
      name: state.names[column]!,
      score: score[j]! / state.design.scale[j]!,
      ...chiSquareResult(score[j]! ** 2 / variance[j * p + j]!, 1),
    })),
    global: chiSquareResult(p > 0 ? inverseForm(variance, score) : 0, p),
    transform,
  };
}

function transformed(
  fit: SubdistributionFit,
  { design }: SubdistributionState,
  transform: SubdistributionTime,
): Float64Array {
  if (transform === "identity") return design.groupTime.slice();
  if (transform === "log") {
    return design.groupTime.map((t) => {
      if (!(t > 0)) throw new DataError("transform", 'not "log" with an event at time 0', t);
      return Math.log(t);
    });
  }
  const { cumulativeHazard } = fit.baselineHazard();
  return cumulativeHazard.map((_, k) => k === 0 ? 0 : -Math.expm1(-cumulativeHazard[k - 1]!));
}

/** g less its mean over events. */
function centred({ design }: SubdistributionState, g: Float64Array): Float64Array {
  let sum = 0;
  let events = 0;
  for (let k = 0; k < g.length; k++) {
    sum += design.groupEvents[k]! * g[k]!;
    events += design.groupEvents[k]!;
  }
  return g.map((value) => value - sum / events);
}

/** U and its robust variance, for the scaled covariates. */
export function timeScore(
  state: SubdistributionState,
  g: Float64Array,
): { score: Float64Array; variance: Float64Array } {
  const { design, beta, efron, scores, covariance, estimatedWeights, cluster } = state;
  const { n, p, groups } = design;
  const sets = weightedRiskSets(design);
  const information = new Float64Array(p * p);
  walkWeightedRiskSets(design, beta, efron, sets, (k, _fraction, share, _denominator, mean) => {
    for (let a = 0; a < p; a++) {
      for (let b = 0; b <= a; b++) information[a * p + b]! -= g[k]! * share * mean[a]! * mean[b]!;
    }
  });
  for (let k = 0; k < groups; k++) {
    sets.hazard[k]! *= g[k]!;
    sets.spared[k]! *= g[k]!;
    for (let j = 0; j < p; j++) {
      sets.hazardMean[k * p + j]! *= g[k]!;
      sets.sparedMean[k * p + j]! *= g[k]!;
    }
  }
  const own = scoreContributions(design, sets, estimatedWeights, g);
  expectedEvents(design, sets);
  addWeightedProducts(design.x, p, 0, n, sets.risk, information);
  mirror(information, p);
  // d(score)/d(weight) at the estimate of b: its own part less information * influence on b
  const through = multiplySquare(information, covariance, p);
  const score = new Float64Array(p);
  const projected = new Float64Array(n * p);
  for (let i = 0; i < n; i++) {
    for (let a = 0; a < p; a++) {
      let value = own[i * p + a]!;
      for (let b = 0; b < p; b++) value -= through[a * p + b]! * scores[i * p + b]!;
      projected[i * p + a] = value;
      score[a]! += value;
    }
  }
  return { score, variance: crossProducts(projected, design, cluster) };
}
