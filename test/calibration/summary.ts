import type { TrueAnswers, TrueValue } from "../../lib/simulate/truth/mod.ts";
import type { CohortResult, DesignName, Estimate, QuantityName } from "./estimates.ts";

/** How an estimator did over all cohorts. */
export interface Performance {
  quantity: QuantityName;
  design: DesignName;
  /** Whose truth it is held against. */
  target: string;
  /** Horizon in years; null for ratios. */
  time: number | null;
  cohorts: number;
  truth: number;
  mean: number;
  bias: number;
  /** Monte-Carlo standard error of the bias, with that of the truth. */
  biasError: number;
  /** Standard deviation of the estimates over cohorts. */
  empirical: number;
  /** Root mean square of the estimated standard errors. */
  estimated: number;
  /** Share of 95% intervals that hold the truth, with its Monte-Carlo error. */
  coverage: number;
  coverageError: number;
  /** Share of intervals that lie wholly below the truth, and wholly above. */
  below: number;
  above: number;
  /** Share that hold the estimates' own mean: what is left when bias is taken away. */
  coverageOfMean: number;
}

/** Whose truth each design is held against; the unadjusted against two. */
const targets: Record<DesignName, (keyof TrueAnswers["populations"] | "matched")[]> = {
  unadjusted: ["everyone", "unadjusted"],
  matched: ["matched"],
  matchedAsIndependent: ["matched"],
  matchedClosest: ["matched"],
  overlap: ["overlap"],
  everyone: ["everyone"],
  treated: ["treated"],
  overlapTrueScore: ["overlap"],
  everyoneTrueScore: ["everyone"],
  overlapStandardized: ["overlap"],
  overlapDoublyRobust: ["overlap"],
  everyoneStandardized: ["everyone"],
  everyoneDoublyRobust: ["everyone"],
};

/**
 * Bias, spread and coverage of every estimator, each with its Monte-Carlo error.
 *
 * A caliper-matched sample stands for no fixed population: its truth is the mean over cohorts of
 * the true difference in the patients who were matched.
 *
 * @see Morris, White & Crowther (2019) Stat Med 38:2074-2102 for the measures and their errors.
 */
export function performance(results: CohortResult[], answers: TrueAnswers): Performance[] {
  const byEstimator = new Map<string, Estimate[]>();
  for (const { estimates } of results) {
    for (const one of estimates) {
      const key = `${one.quantity} ${one.design} ${one.time}`;
      const list = byEstimator.get(key);
      if (list) list.push(one);
      else byEstimator.set(key, [one]);
    }
  }
  return [...byEstimator.values()].flatMap((list) =>
    targets[list[0]!.design].map((target) => performanceOf(list, target, answers))
  );
}

function performanceOf(
  list: Estimate[],
  target: keyof TrueAnswers["populations"] | "matched",
  answers: TrueAnswers,
): Performance {
  const { quantity, design, time } = list[0]!;
  const values = list.map(({ estimate }) => estimate);
  const n = values.length;
  const mean = meanOf(values);
  let truth: number;
  let biasError: number;
  if (target === "matched") {
    const own = list.map((one) => one.own ?? NaN);
    truth = meanOf(own);
    biasError = deviation(values.map((value, i) => value - own[i]!)) / Math.sqrt(n);
  } else {
    const known = trueValue(answers, target, list[0]!);
    truth = known.estimate;
    biasError = Math.hypot(deviation(values) / Math.sqrt(n), known.standardError);
  }
  const holding = (value: number) =>
    list.filter(({ lower, upper }) => lower <= value && value <= upper).length / n;
  const coverage = holding(truth);
  return {
    quantity,
    design,
    target,
    time: Number.isNaN(time) ? null : time,
    cohorts: n,
    truth,
    mean,
    bias: mean - truth,
    biasError,
    empirical: deviation(values),
    estimated: Math.sqrt(meanOf(list.map(({ standardError }) => standardError ** 2))),
    coverage,
    coverageError: Math.sqrt(coverage * (1 - coverage) / n),
    below: list.filter(({ upper }) => upper < truth).length / n,
    above: list.filter(({ lower }) => lower > truth).length / n,
    coverageOfMean: holding(mean),
  };
}

function trueValue(
  { populations, horizons }: TrueAnswers,
  target: keyof TrueAnswers["populations"],
  { quantity, time }: Estimate,
): TrueValue {
  const population = populations[target];
  if (quantity === "logHazardRatio") {
    const { logHazardRatio, standardError } = population.hazardRatios.death.marginalAsFollowed;
    return { estimate: logHazardRatio, standardError };
  }
  const k = quantity === "restrictedMean" ? 0 : horizons.indexOf(time);
  const value = population[quantity].difference[k];
  if (!value) throw new Error(`no truth for ${quantity} at ${time} years`);
  return value;
}

function meanOf(values: number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

function deviation(values: number[]): number {
  const mean = meanOf(values);
  return Math.sqrt(
    values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (values.length - 1),
  );
}
