import {
  binaryColumn,
  checkConfidence,
  checkDataColumns,
  DataError,
  distributions,
  type Interval,
  numberColumn,
  type Numbers,
  orderOf,
} from "../../numerics/mod.ts";
import { areaCovariance, type Placements, placementsOf } from "./delong.ts";

/** One point of a receiver operating characteristic: calling positive every score >= threshold. */
export interface RocPoint {
  /** Scores at or above it count as positive. */
  threshold: number;
  /** 0 to 1. */
  sensitivity: number;
  /** 0 to 1. */
  specificity: number;
}

/**
 * Receiver operating characteristic of a score, and the area under it.
 *
 * Area = P(score of a row with outcome 1 > score of one with outcome 0) + P(tie) / 2. Variance of
 * DeLong, limits area +- z * standard error, cut at 0 and 1. Points run from threshold Infinity
 * (nothing is positive) through every distinct score, descending. Cost O(n log n).
 *
 * @example
 * ```ts
 * import { rocCurve } from "mitral";
 * rocCurve({ outcome: [0, 0, 1, 1], score: [1, 3, 2, 4] }).area.estimate; // 0.75
 * ```
 * @param data.outcome 0 or 1, at least two of each.
 * @param data.score Higher means outcome 1 is more likely.
 * @throws {DataError}
 * @see DeLong, DeLong & Clarke-Pearson (1988) Biometrics 44:837-845.
 */
export function rocCurve(
  data: { outcome: Numbers; score: Numbers },
  options: { confidence?: number } = {},
): { area: Interval; points: RocPoint[] } {
  checkDataColumns("rocCurve", data, ["outcome", "score"]);
  const confidence = checkConfidence(options.confidence);
  const outcome = outcomeColumn(data.outcome);
  const score = numberColumn("score", data.score, { length: outcome.length });
  const order = orderOf(score);
  const placements = placementsOf(outcome, score, order);
  const error = Math.sqrt(areaCovariance(placements, placements));
  const reach = distributions.normalUpperQuantile((1 - confidence) / 2) * error;
  return {
    area: {
      estimate: placements.area,
      standardError: error,
      lower: Math.max(0, placements.area - reach),
      upper: Math.min(1, placements.area + reach),
    },
    points: pointsOf(outcome, score, order, placements),
  };
}

/**
 * Difference between the areas of two scores on the same rows, first minus second, with the paired
 * variance of DeLong.
 *
 * @throws {DataError}
 * @see DeLong, DeLong & Clarke-Pearson (1988) Biometrics 44:837-845.
 */
export function rocDifference(
  data: { outcome: Numbers; first: Numbers; second: Numbers },
  options: { confidence?: number } = {},
): Interval & { z: number; pValue: number; covariance: number } {
  checkDataColumns("rocDifference", data, ["outcome", "first", "second"]);
  const confidence = checkConfidence(options.confidence);
  const outcome = outcomeColumn(data.outcome);
  const length = outcome.length;
  const a = placementsOf(outcome, numberColumn("first", data.first, { length }));
  const b = placementsOf(outcome, numberColumn("second", data.second, { length }));
  const covariance = areaCovariance(a, b);
  const variance = areaCovariance(a, a) + areaCovariance(b, b) - 2 * covariance;
  const estimate = a.area - b.area;
  const standardError = Math.sqrt(Math.max(0, variance));
  // two scores that rank alike differ by nothing, for certain
  const z = standardError === 0 && estimate === 0 ? 0 : estimate / standardError;
  const reach = distributions.normalUpperQuantile((1 - confidence) / 2) * standardError;
  return {
    estimate,
    standardError,
    lower: estimate - reach,
    upper: estimate + reach,
    z,
    pValue: distributions.normalTwoSided(z),
    covariance,
  };
}

function outcomeColumn(values: Numbers): Uint8Array {
  const outcome = binaryColumn("outcome", values);
  const ones = outcome.reduce((sum, y) => sum + y, 0);
  if (ones < 2 || outcome.length - ones < 2) {
    throw new DataError("outcome", "0 in at least two rows and 1 in at least two", values);
  }
  return outcome;
}

function pointsOf(
  outcome: Uint8Array,
  score: Float64Array,
  order: Uint32Array,
  placements: Placements,
): RocPoint[] {
  const ones = placements.cases.length;
  const zeros = placements.controls.length;
  const points: RocPoint[] = [{ threshold: Infinity, sensitivity: 0, specificity: 1 }];
  let hits = 0;
  let alarms = 0;
  for (let i = order.length - 1; i >= 0;) {
    const threshold = score[order[i]!]!;
    for (; i >= 0 && score[order[i]!]! === threshold; i--) {
      if (outcome[order[i]!] === 1) hits++;
      else alarms++;
    }
    points.push({ threshold, sensitivity: hits / ones, specificity: 1 - alarms / zeros });
  }
  return points;
}
