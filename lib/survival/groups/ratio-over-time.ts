import { splineBasis } from "../../regression/models/mod.ts";
import {
  checkConfidence,
  checkDataColumns,
  checkNumber,
  chiSquareResult,
  distributions,
  FOLLOW_UP,
  quantileOfSorted,
  type Test,
} from "../../numerics/mod.ts";
import { coxRegression, splitFollowUp } from "../cox/mod.ts";
import type { TwoGroupFollowUp } from "./group-hazard-ratio.ts";

/** A hazard ratio as it changes over time. */
export interface RatioOverTime {
  /**
   * Times from the 5th to the 95th percentile of events, and the ratio of group 1 against group 0.
   */
  curve: { x: Float64Array; estimate: Float64Array; lower: Float64Array; upper: Float64Array };
  /** Wald test that the ratio is the same throughout. */
  constant: Test;
  /** Events in all. */
  events: number;
}

// Events for each of the three coefficients below which no curve is drawn (common
// practice, no source).
const eventsForEach = 10;
const knotsAt = [0.1, 0.5, 0.9];
const pieces = 40;

/**
 * The hazard ratio of group 1 against group 0 as a smooth function of time: a restricted cubic
 * spline with three knots, at the 10th, 50th and 90th percentile of event times.
 *
 * Follow-up is cut at 40 quantiles of event times and the spline evaluated in the middle of each
 * piece; errors are robust, over rows or their clusters. Weights are taken as known.
 *
 * @returns null with fewer than 10 events a coefficient in either group: then nothing can be said
 * of how a ratio changes.
 * @example
 * ```ts
 * import { ratioOverTime } from "mitral";
 *
 * const time = Array.from({ length: 60 }, (_, i) => 0.1 + (i * 7 % 60) / 10);
 * const event = time.map((_, i) => i % 4 === 0 ? 0 : 1);
 * const group = time.map((_, i) => i % 2);
 * const found = ratioOverTime({ time, event, group });
 * found?.constant.pValue; // small where one ratio does not do
 * ```
 * @throws {DataError} as `coxRegression`.
 * @see Therneau & Grambsch (2000), Modeling Survival Data, sec. 6.5; splines: Durrleman & Simon
 * (1989) Stat Med 8:551-561.
 */
export function ratioOverTime(
  data: TwoGroupFollowUp,
  options: { confidence?: number; points?: number } = {},
): RatioOverTime | null {
  checkDataColumns("ratioOverTime", data, [...FOLLOW_UP, "group", "cluster"]);
  const z = distributions.normalUpperQuantile((1 - checkConfidence(options.confidence)) / 2);
  const points = checkNumber("points", options.points ?? 50, (v) => v >= 2, "at least 2");
  const { time, event, entry, weight, group, cluster } = data;
  const had = Array.from(event, (code, i) => code === 1 ? i : -1).filter((i) => i >= 0);
  const fewest = eventsForEach * knotsAt.length;
  const inFirst = had.filter((i) => group[i] === 1).length;
  if (Math.min(inFirst, had.length - inFirst) < fewest) return null;
  const times = had.map((i) => time[i]!).sort((a, b) => a - b);
  const at = (p: number) => quantileOfSorted(times, p);
  const knots = [...new Set(knotsAt.map(at))];
  const cuts = [
    ...new Set(Array.from({ length: pieces - 1 }, (_, k) => at((k + 1) / pieces))),
  ].filter((cut) => cut > 0);
  if (knots.length < knotsAt.length || cuts.length < knots.length) return null;
  const split = splitFollowUp({
    time,
    event,
    ...(entry && { entry }),
    ...(weight && { weight }),
    covariates: { group: Float64Array.from(group) },
  }, cuts);
  const bounds = [0, ...cuts, times.at(-1)!];
  const middle = Float64Array.from(
    { length: cuts.length + 1 },
    (_, k) => (bounds[k]! + bounds[k + 1]!) / 2,
  );
  const basis = splineBasis(middle, knots);
  const own = split.covariates.group!;
  const columns = basis.map((column) => own.map((value, i) => value * column[split.period[i]!]!));
  const fit = coxRegression({
    time: split.time,
    event: split.event,
    entry: split.entry,
    ...(split.weight && { weight: split.weight }),
    covariates: {
      group: own,
      ...Object.fromEntries(columns.map((column, k) => [`group over time ${k + 1}`, column])),
    },
    cluster: Array.from(split.row, (row) => cluster ? String(cluster[row]) : String(row)),
  });
  const covariance = fit.robustCovariance ?? fit.covariance;
  const p = fit.terms.length;
  const coefficients = fit.terms.map(({ coefficient }) => coefficient);
  const x = Float64Array.from(
    { length: points },
    (_, k) => at(0.05) + (at(0.95) - at(0.05)) * k / (points - 1),
  );
  const along = splineBasis(x, knots);
  const [estimate, lower, upper] = [0, 0, 0].map(() => new Float64Array(points)) as [
    Float64Array,
    Float64Array,
    Float64Array,
  ];
  for (let k = 0; k < points; k++) {
    const row = [1, ...along.map((column) => column[k]!)];
    let log = 0;
    let variance = 0;
    for (let i = 0; i < p; i++) {
      log += row[i]! * coefficients[i]!;
      for (let j = 0; j < p; j++) variance += row[i]! * row[j]! * covariance[i * p + j]!;
    }
    const reach = z * Math.sqrt(variance);
    estimate[k] = Math.exp(log);
    lower[k] = Math.exp(log - reach);
    upper[k] = Math.exp(log + reach);
  }
  return {
    curve: { x, estimate, lower, upper },
    constant: constancy(coefficients, covariance),
    events: had.length,
  };
}

/** Wald test that both coefficients of the spline are 0. */
function constancy(coefficients: readonly number[], covariance: ArrayLike<number>): Test {
  const p = coefficients.length;
  const [b, c] = [coefficients[1]!, coefficients[2]!];
  const [v, w, u] = [covariance[p + 1]!, covariance[2 * p + 2]!, covariance[p + 2]!];
  const statistic = (b * b * w - 2 * b * c * u + c * c * v) / (v * w - u * u);
  return chiSquareResult(statistic, 2);
}
