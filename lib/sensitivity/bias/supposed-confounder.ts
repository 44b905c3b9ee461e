import {
  checkNumber,
  checkWhole,
  DataError,
  quantileOfSorted,
  SeededRandom,
} from "../../numerics/mod.ts";
import { checkPrior, drawPrior, type Prior } from "./prior.ts";

/** What is believed of one unmeasured yes/no confounder. */
export interface SupposedConfounder {
  /** For a ratio: by how much it multiplies the outcome; for a difference: what it adds. */
  outcome: Prior;
  /** Share of each group with it: of the first group of the comparison, then of the second. */
  prevalence: readonly [first: Prior, second: Prior];
}

/** Middle and central 95% of what was drawn. */
export interface DrawnRange {
  /** Median. */
  median: number;
  /** Lower limit. */
  lower: number;
  /** Upper limit. */
  upper: number;
}

/** An estimate once an unmeasured confounder is allowed for as it is believed to be. */
export interface ConfoundedEstimate {
  /** With the priors' uncertainty alone. */
  systematic: DrawnRange;
  /** With that and chance. */
  total: DrawnRange;
  /** Share of draws, chance included, on the other side of no effect than the estimate. */
  turned: number;
  /** How many random draws it rests on. */
  draws: number;
}

/**
 * Probabilistic bias analysis for one unmeasured yes/no confounder: what an estimate might be, were
 * the confounder as it is believed to be.
 *
 * In each draw its strength and its share in both groups come from their priors, and the estimate
 * is freed of the bias they make: a ratio divided by (1 + (g - 1) p1) / (1 + (g - 1) p2), as in
 * `confounderBias`; a difference less d (p1 - p2). Its effect is alike in both groups, it is not
 * related to measured covariates once these are allowed for, and the three are drawn independently.
 * The result is no better than the priors.
 *
 * @param estimate Of the first group over (minus) the second; the standard error of a ratio is that
 * of its logarithm.
 * @param options.draws Default 20,000.
 * @example
 * ```ts
 * import { supposedConfounder } from "mitral";
 *
 * supposedConfounder({ scale: "ratio", value: 0.8, standardError: 0.1 }, {
 *   outcome: { form: "log-normal", from: 1.2, to: 3 },
 *   prevalence: [{ form: "even", from: 0.1, to: 0.2 }, { form: "even", from: 0.2, to: 0.4 }],
 * }, { seed: 1 }).total.median; // nearer 1
 * ```
 * @throws {DataError} on priors outside what is possible.
 * @see Lash, Fox & Fink (2009) Applying Quantitative Bias Analysis to Epidemiologic Data, ch. 8;
 * Greenland (2005) JRSS A 168:267-306.
 */
export function supposedConfounder(
  estimate: { scale: "ratio" | "difference"; value: number; standardError: number },
  confounder: SupposedConfounder,
  options: { seed: number; draws?: number },
): ConfoundedEstimate {
  const ratio = estimate.scale === "ratio";
  const fits = (v: number) => Number.isFinite(v) && (!ratio || v > 0);
  const value = checkNumber("value", estimate.value, fits, ratio ? "> 0" : "finite");
  const error = checkNumber(
    "standardError",
    estimate.standardError,
    (v) => v >= 0 && v < Infinity,
    "a finite number >= 0",
  );
  const draws = checkWhole("draws", options.draws ?? 20_000, 100);
  const most = Number.MAX_VALUE;
  const outcome = checkPrior("outcome", confounder.outcome, {
    least: ratio ? Number.MIN_VALUE : -1,
    most: ratio ? most : 1,
  });
  if (confounder.prevalence.length !== 2) {
    throw new DataError("prevalence", "two priors, one a group", confounder.prevalence);
  }
  const shares = confounder.prevalence.map((prior, side) =>
    checkPrior(`prevalence[${side}]`, prior, { least: 0, most: 1 })
  );
  const random = new SeededRandom(options.seed);
  const at = ratio ? Math.log(value) : value;
  const systematic = new Float64Array(draws);
  const total = new Float64Array(draws);
  let turned = 0;
  for (let k = 0; k < draws; k++) {
    const strength = drawPrior(outcome, random);
    const [first, second] = shares.map((prior) => drawPrior(prior, random)) as [number, number];
    const bias = ratio
      ? Math.log((1 + (strength - 1) * first) / (1 + (strength - 1) * second))
      : strength * (first - second);
    systematic[k] = at - bias;
    total[k] = at - bias - error * random.normal();
    if (total[k]! * at < 0) turned++;
  }
  const rangeOf = (drawn: Float64Array): DrawnRange => {
    const sorted = drawn.sort();
    const [lower, median, upper] = [0.025, 0.5, 0.975].map((p) => {
      const quantile = quantileOfSorted(sorted, p);
      return ratio ? Math.exp(quantile) : quantile;
    });
    return { median: median!, lower: lower!, upper: upper! };
  };
  return { systematic: rangeOf(systematic), total: rangeOf(total), turned: turned / draws, draws };
}
