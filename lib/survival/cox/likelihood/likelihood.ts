import {
  addWeightedProducts,
  type CoxDesign,
  exposure,
  mirror,
  panel,
  type RiskSets,
  riskSets,
  walkRiskSets,
} from "../rows/mod.ts";

/** Log partial likelihood, its gradient and minus its matrix of second derivatives. */
export interface Evaluation {
  logLikelihood: number;
  score: Float64Array;
  /** p x p row-major, both triangles. */
  information: Float64Array;
}

/** Evaluates at coefficients of the scaled covariates. */
export type Evaluate = (beta: Float64Array) => Evaluation;

/**
 * The partial likelihood with Efron's or Breslow's rule for ties.
 *
 * The information, sum over event times of the risk set's covariance matrix, is arranged as
 *
 *   sum over rows of E_i x_i x_i'  -  sum over event times of d m m',
 *
 * E_i the row's expected number of events and m the risk set's mean: one product x x' a row and
 * one an event time, no matrix carried along, and nothing but the first moments to take out again
 * under delayed entry. The score is sum over rows of (deaths - E_i) x_i. Cost O(n p^2).
 *
 * @see Cox (1972) JRSS B 34:187-220; Breslow (1974) Biometrics 30:89-99; Efron (1977) JASA
 * 72:557-565.
 */
export function partialLikelihood(design: CoxDesign, efron: boolean): Evaluate {
  const { n, p, x } = design;
  const sets: RiskSets = riskSets(design);
  const deathSum = sumOverDeaths(design);
  return function evaluate(beta: Float64Array): Evaluation {
    const information = new Float64Array(p * p);
    const products = panel(information, p);
    const logLikelihood = walkRiskSets(design, beta, efron, sets, (_k, _f, share, _h, mean) => {
      products.add(mean, -share);
    });
    products.flush();
    // From here on `risk` holds expected events: nothing below needs the risks themselves.
    exposure(design, sets, sets.hazard, sets.spared, sets.risk);
    const expected = new Float64Array(p);
    addWeightedProducts(x, p, 0, n, sets.risk, information, expected);
    mirror(information, p);
    const score = new Float64Array(p);
    for (let j = 0; j < p; j++) score[j] = deathSum[j]! - expected[j]!;
    return { logLikelihood, score, information };
  };
}

/** Sum of weight * x over the rows with an event. */
export function sumOverDeaths(design: CoxDesign): Float64Array {
  const { p, x, weight, groupStart, groupDeaths } = design;
  const sum = new Float64Array(p);
  for (let k = 0; k < design.groups; k++) {
    for (let i = groupStart[k]!; i < groupStart[k]! + groupDeaths[k]!; i++) {
      const w = weight ? weight[i]! : 1;
      for (let j = 0; j < p; j++) sum[j]! += w * x[i * p + j]!;
    }
  }
  return sum;
}
