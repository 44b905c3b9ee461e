import {
  binaryColumn,
  checkConfidence,
  checkDataColumns,
  checkWhole,
  DataError,
  distributions,
  type Interval,
  numberColumn,
  type Numbers,
} from "../../numerics/mod.ts";
import { logisticRegression } from "../models/mod.ts";
import { proportionInterval } from "../rates/mod.ts";
import { interceptInTheLarge } from "./intercept-in-the-large.ts";
import { likePredictions } from "./like-predictions.ts";

/** Observed against predicted risk among rows of like prediction. */
export interface CalibrationGroup {
  /** Rows. */
  n: number;
  /** Rows with the event, not weighted. */
  events: number;
  /** Mean predicted probability. */
  predicted: number;
  /** Share with outcome 1, with Wilson limits. */
  observed: number;
  /** Lower limit. */
  lower: number;
  /** Upper limit. */
  upper: number;
}

/** How far predicted probabilities can be taken at their word. */
export interface Calibration {
  /** log odds to add to every prediction; 0 is right. */
  intercept: Interval;
  /** Coefficient of the predictions' log odds; 1 is right, below 1 too extreme. */
  slope: Interval;
  /** Events observed over events predicted; 1 is right. */
  observedOverExpected: number;
  /** Mean squared error of the probabilities. */
  brier: number;
  /** One a group of predicted chances. */
  groups: CalibrationGroup[];
  /** Whether the search for the estimate came to its end. */
  converged: boolean;
}

/**
 * Calibration of predicted probabilities: in the large (intercept, with the log odds as offset),
 * slope, and observed against predicted risk in groups of nearly equal size.
 *
 * Equal predictions always share a group. On the rows the model was fitted to, intercept and slope
 * are 0 and 1 by construction: say whether the rows are new. Cost O(n log n).
 *
 * @param data.outcome 0 or 1, both present.
 * @param data.predicted Probabilities strictly between 0 and 1.
 * @param options.groups How many groups to make, 10.
 * @throws {DataError}
 * @see Cox (1958) Biometrika 45:562-565; Steyerberg et al. (2010) Epidemiology 21:128-138.
 */
export function calibration(
  data: { outcome: Numbers; predicted: Numbers },
  options: { groups?: number; confidence?: number } = {},
): Calibration {
  checkDataColumns("calibration", data, ["outcome", "predicted"]);
  const confidence = checkConfidence(options.confidence);
  const wanted = checkWhole("groups", options.groups ?? 10, 1);
  const outcome = binaryColumn("outcome", data.outcome);
  const n = outcome.length;
  const predicted = numberColumn("predicted", data.predicted, { length: n });
  const logOdds = new Float64Array(n);
  let events = 0;
  let expected = 0;
  let squares = 0;
  for (let i = 0; i < n; i++) {
    const p = predicted[i]!;
    if (!(p > 0 && p < 1)) throw new DataError("predicted", "strictly between 0 and 1", p, i);
    logOdds[i] = Math.log(p / (1 - p));
    events += outcome[i]!;
    expected += p;
    squares += (outcome[i]! - p) ** 2;
  }
  const z = distributions.normalUpperQuantile((1 - confidence) / 2);
  const fit = logisticRegression({ outcome, covariates: { logOdds } });
  const slope = fit.terms[1];
  if (!slope) throw new DataError("predicted", "not all alike", predicted[0], 0);
  const large = interceptInTheLarge(outcome, logOdds);
  return {
    intercept: intervalOf(large.estimate, large.standardError, z),
    slope: intervalOf(slope.coefficient, slope.standardError, z),
    observedOverExpected: events / expected,
    brier: squares / n,
    groups: groupsOf(outcome, predicted, wanted, confidence),
    converged: fit.converged,
  };
}

function intervalOf(estimate: number, standardError: number, z: number): Interval {
  const reach = z * standardError;
  return { estimate, standardError, lower: estimate - reach, upper: estimate + reach };
}

function groupsOf(
  outcome: Uint8Array,
  predicted: Float64Array,
  wanted: number,
  confidence: number,
): CalibrationGroup[] {
  return likePredictions(predicted, wanted).map((rows) => {
    let events = 0;
    let sum = 0;
    for (const row of rows) {
      events += outcome[row]!;
      sum += predicted[row]!;
    }
    const n = rows.length;
    const { estimate, lower, upper } = proportionInterval(events, n, { confidence });
    return { n, events, predicted: sum / n, observed: estimate, lower, upper };
  });
}
