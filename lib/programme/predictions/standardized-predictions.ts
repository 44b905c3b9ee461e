import { dot, MANY, type Numbers, quadraticForm } from "../../numerics/mod.ts";
import { eachAlone, nearAlike, sumsOfGroups } from "./near-alike.ts";

/** Coefficients of a fitted model, constant first, and their covariance. */
export interface FittedModel {
  terms: { name: string; coefficient: number }[];
  covariance: Float64Array;
  converged: boolean;
  reason?: string;
}

/** Whether an outcome is an event (0 or 1) or an amount. */
export type OutcomeKind = "event" | "amount";

/** Predictions with pointwise limits. */
export interface Predictions {
  /** The estimates. */
  estimate: Float64Array;
  /** Lower limits. */
  lower: Float64Array;
  /** Upper limits. */
  upper: Float64Array;
}

/**
 * Mean prediction over all rows of a model, with some columns set alike for all: once for each row
 * of those columns.
 *
 * Limits by the delta method: on the log odds for an event, so that they stay within 0 and 1. Of
 * more than 20,000 rows those whose linear predictors lie in the same hundredth are taken together,
 * which moves no mean chance by 1e-6. Cost O(n p) a point; of many O(n p) once.
 *
 * @param design Every column of the model but those set.
 * @param set The columns that are set alike, one value a point.
 * @param z Normal quantile of the limits.
 */
export function standardizedPredictions(
  model: FittedModel,
  design: Record<string, Numbers>,
  set: Record<string, Numbers>,
  { kind, z }: { kind: OutcomeKind; z: number },
): Predictions {
  const { terms, covariance } = model;
  const points = Object.values(set)[0]!.length;
  const columns = terms.map(({ name }, j) => j === 0 || name in set ? undefined : design[name]!);
  const n = Object.values(design)[0]?.length ?? 1;
  const others = new Float64Array(n).fill(terms[0]!.coefficient);
  columns.forEach((column, j) => {
    if (!column) return;
    for (let i = 0; i < n; i++) others[i]! += terms[j]!.coefficient * column[i]!;
  });
  const rows = n > MANY ? nearAlike(others) : eachAlone(others);
  const { count, value: predictor } = rows;
  const sums = columns.map((column) => column && sumsOfGroups(column, rows));
  const result = {
    estimate: new Float64Array(points),
    lower: new Float64Array(points),
    upper: new Float64Array(points),
  };
  const gradient = new Float64Array(terms.length);
  const slope = new Float64Array(count.length);
  for (let k = 0; k < points; k++) {
    const shift = terms.reduce(
      (sum, { name, coefficient }) => name in set ? sum + coefficient * set[name]![k]! : sum,
      0,
    );
    let mean = 0;
    let slopes = 0;
    for (let i = 0; i < slope.length; i++) {
      const eta = predictor[i]! + shift;
      const value = kind === "event" ? 1 / (1 + Math.exp(-eta)) : eta;
      mean += count[i]! * value / n;
      // of one of its rows
      slope[i] = (kind === "event" ? value * (1 - value) : 1) / n;
      slopes += count[i]! * slope[i]!;
    }
    sums.forEach((column, j) => {
      if (column) gradient[j] = dot(slope, column);
    });
    gradient[0] = slopes;
    terms.forEach(({ name }, j) => {
      if (name in set) gradient[j] = slopes * set[name]![k]!;
    });
    const error = Math.sqrt(Math.max(0, quadraticForm(gradient, covariance)));
    const [lower, upper] = kind === "amount"
      ? [mean - z * error, mean + z * error]
      : oddsLimits(mean, z * error);
    result.estimate[k] = mean;
    result.lower[k] = lower;
    result.upper[k] = upper;
  }
  return result;
}

function oddsLimits(mean: number, reach: number): [number, number] {
  const logOdds = Math.log(mean / (1 - mean));
  const onOdds = reach / (mean * (1 - mean));
  const chance = (eta: number) => 1 / (1 + Math.exp(-eta));
  return [chance(logOdds - onOdds), chance(logOdds + onOdds)];
}
