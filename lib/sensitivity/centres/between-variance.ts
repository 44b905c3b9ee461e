/**
 * The variance t between centres, for estimates y with known variances v: y_i is normal about the
 * mean with variance v_i + t.
 */

/** Weighted mean of y with weights 1 / (v + t), and sums that go with it. */
export interface CentreMean {
  mean: number;
  /** Sum of the weights: one over the variance of the mean. */
  precision: number;
  /** Sum of weight * (y - mean)^2. */
  spread: number;
}

export function centreMean(y: Float64Array, v: Float64Array, t: number): CentreMean {
  let precision = 0;
  let sum = 0;
  for (let i = 0; i < y.length; i++) {
    precision += 1 / (v[i]! + t);
    sum += y[i]! / (v[i]! + t);
  }
  const mean = sum / precision;
  let spread = 0;
  for (let i = 0; i < y.length; i++) spread += (y[i]! - mean) ** 2 / (v[i]! + t);
  return { mean, precision, spread };
}

/**
 * Restricted log-likelihood of t, the mean integrated out with a flat prior:
 * -(sum log(v + t) + log sum 1 / (v + t) + sum (y - mean)^2 / (v + t)) / 2, constants left out.
 */
export function restrictedLogLikelihood(y: Float64Array, v: Float64Array, t: number): number {
  const { precision, spread } = centreMean(y, v, t);
  let logs = 0;
  for (let i = 0; i < y.length; i++) logs += Math.log(v[i]! + t);
  return -(logs + Math.log(precision) + spread) / 2;
}

function restrictedSlope(y: Float64Array, v: Float64Array, t: number): number {
  const { mean, precision } = centreMean(y, v, t);
  let slope = -precision;
  for (let i = 0; i < y.length; i++) {
    const weight = 1 / (v[i]! + t);
    slope += weight * weight * (1 / precision + (y[i]! - mean) ** 2);
  }
  return slope / 2;
}

// Steps by which t is searched for hills: each about 12 % above the one before.
const STEPS = 400;
const SPAN = 1e20;

/**
 * The t >= 0 at which the restricted likelihood is highest. There may be several hills: the slope
 * is looked at over a fine grid, each summit is found by bisection, and the highest wins; 0 where
 * none is higher than 0 itself. Cost: about 500 passes over the centres.
 *
 * @see Viechtbauer (2005) J Educ Behav Stat 30:261-293 (restricted likelihood for this model).
 */
export function restrictedVariance(y: Float64Array, v: Float64Array): number {
  let centre = 0;
  for (const value of y) centre += value / y.length;
  let squares = 0;
  for (const value of y) squares += (value - centre) ** 2;
  // past here the likelihood falls: sum (y - mean)^2 / t^2 is below (k - 1) / t
  const most = 4 * squares + Math.max(...v);
  const at = (step: number) => step === 0 ? 0 : most * SPAN ** ((step - STEPS) / STEPS);
  let best = 0;
  let highest = restrictedLogLikelihood(y, v, 0);
  for (let step = 0; step < STEPS; step++) {
    let low = at(step);
    let high = at(step + 1);
    if (!(restrictedSlope(y, v, low) > 0 && restrictedSlope(y, v, high) <= 0)) continue;
    while (high - low > 1e-15 * high) {
      const middle = (low + high) / 2;
      if (middle <= low || middle >= high) break;
      if (restrictedSlope(y, v, middle) > 0) low = middle;
      else high = middle;
    }
    const value = restrictedLogLikelihood(y, v, high);
    if (value > highest) {
      highest = value;
      best = high;
    }
  }
  return best;
}

/**
 * The moment estimate max(0, (Q - (k - 1)) / (sum w - sum w^2 / sum w)), w = 1 / v.
 *
 * @see DerSimonian & Laird (1986) Control Clin Trials 7:177-188.
 */
export function momentVariance(y: Float64Array, v: Float64Array): number {
  const { precision, spread } = centreMean(y, v, 0);
  let squares = 0;
  for (const variance of v) squares += 1 / variance ** 2;
  return Math.max(0, (spread - (y.length - 1)) / (precision - squares / precision));
}
