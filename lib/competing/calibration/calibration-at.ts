import {
  checkConfidence,
  checkDataColumns,
  checkWhole,
  DataError,
  distributions,
  type FollowUp,
  type Interval,
  numberColumn,
  type Numbers,
} from "../../numerics/mod.ts";
import { logisticRegression } from "../../regression/models/mod.ts";
import { interceptInTheLarge, likePredictions } from "../../regression/prediction/mod.ts";
import { knownAt } from "../../survival/prediction/mod.ts";
import { cumulativeIncidence } from "../incidence/mod.ts";

/** What came of rows of like prediction. */
export interface CalibrationAtGroup {
  /** Rows of like prediction. */
  n: number;
  /** Mean predicted chance. */
  predicted: number;
  /** Share with the event by then, other causes and censoring allowed for, with limits. */
  observed: number;
  /** Lower limit of the share. */
  lower: number;
  /** Upper limit of the share. */
  upper: number;
}

/** How far predicted chances of an event by a horizon can be taken at their word. */
export interface CalibrationAt {
  /** Log odds to add to every prediction; 0 is right. */
  intercept: Interval;
  /** Coefficient of the predictions' log odds; 1 is right, below 1 too extreme. */
  slope: Interval;
  /** Share observed over mean predicted; 1 is right. */
  observedOverExpected: { estimate: number; lower: number; upper: number };
  /** By predicted chance, ascending. */
  groups: CalibrationAtGroup[];
  /** Whether intercept and slope could be fitted. */
  converged: boolean;
}

/**
 * Calibration of predicted chances of an event by a horizon, where other causes (death) come before
 * it and some rows are censored. For predicted survival, hand in 1 less it.
 *
 * Observed shares are Aalen-Johansen estimates, in all and in groups of nearly equal size; equal
 * predictions share a group. Intercept (with the log odds as offset) and slope are those of a
 * logistic regression of the rows whose state is known, weighted as in `brierScore`; their errors
 * are robust and take these weights as known. Another cause means that the event never comes. On
 * the rows that a model was made from all this flatters it: see `optimism` and `heldOut`. Cost O(n
 * log n).
 *
 * @example
 * ```ts
 * import { calibrationAt } from "mitral";
 *
 * const data = { time: [1, 2, 3, 4, 5, 6], event: [1, 2, 1, 0, 1, 0] };
 * calibrationAt({ ...data, predicted: [0.6, 0.3, 0.4, 0.2, 0.5, 0.1] }, { at: 3.5, groups: 2 }).groups;
 * ```
 * @param data.predicted Chance of the event (of `cause`) by `at`, strictly between 0 and 1.
 * @param options.cause Default 1.
 * @param options.groups How many groups to make, 10.
 * @throws {DataError} for a value out of range, predictions all alike, a horizon past the last
 * observed time, or one by which nobody, or everybody known, has had the event.
 * @see Gerds, Andersen & Kattan (2014) Stat Med 33:3191-3203; intercept and slope: Cox (1958)
 * Biometrika 45:562-565.
 */
export function calibrationAt(
  data: FollowUp & { predicted: Numbers },
  options: { at: number; cause?: number; groups?: number; confidence?: number },
): CalibrationAt {
  checkDataColumns("calibrationAt", data, ["time", "event", "weight", "predicted"]);
  const confidence = checkConfidence(options.confidence);
  const { at, cause = 1 } = options;
  const wanted = checkWhole("groups", options.groups ?? 10, 1);
  const { n, outcome, weight } = knownAt(data, { at, cause });
  const predicted = numberColumn("predicted", data.predicted, { length: n });
  predicted.forEach((p, i) => {
    if (!(p > 0 && p < 1)) throw new DataError("predicted", "strictly between 0 and 1", p, i);
  });
  const known = [...weight.keys()].filter((row) => weight[row]! > 0);
  const events = known.filter((row) => outcome[row] === 1).length;
  if (events === 0 || events === known.length) {
    throw new DataError("at", "a time by which some, not all, have had the event", at);
  }
  const z = distributions.normalUpperQuantile((1 - confidence) / 2);
  const rows = {
    outcome: known.map((row) => outcome[row]!),
    weight: known.map((row) => weight[row]!),
  };
  const logOdds = known.map((row) => Math.log(predicted[row]! / (1 - predicted[row]!)));
  const fit = logisticRegression({ ...rows, covariates: { logOdds } });
  const slope = fit.terms[1];
  if (!slope) throw new DataError("predicted", "not all alike", predicted[0], 0);
  const large = interceptInTheLarge(rows.outcome, logOdds, rows.weight);
  const observed = (members: readonly number[]) =>
    observedBy(data, members, { at, cause, confidence });
  const all = observed([...predicted.keys()]);
  const mean = predictedMean(data, predicted, [...predicted.keys()]);
  return {
    intercept: intervalOf(large.estimate, large.standardError, z),
    slope: intervalOf(slope.coefficient, slope.robustStandardError!, z),
    observedOverExpected: {
      estimate: all.estimate / mean,
      lower: all.lower / mean,
      upper: all.upper / mean,
    },
    groups: likePredictions(predicted, wanted).map((rows) => {
      const members = [...rows];
      const { estimate, lower, upper } = observed(members);
      return {
        n: members.length,
        predicted: predictedMean(data, predicted, members),
        observed: estimate,
        lower,
        upper,
      };
    }),
    converged: fit.converged,
  };
}

function intervalOf(estimate: number, standardError: number, z: number): Interval {
  const reach = z * standardError;
  return { estimate, standardError, lower: estimate - reach, upper: estimate + reach };
}

/** The share of some rows with the cause by a time; NaN where nobody is watched so long. */
function observedBy(
  { time, event, weight }: FollowUp,
  members: readonly number[],
  { at, cause, confidence }: { at: number; cause: number; confidence: number },
): { estimate: number; lower: number; upper: number } {
  const pick = (column: Numbers) => members.map((row) => column[row]!);
  const curve = cumulativeIncidence({
    time: pick(time),
    event: pick(event),
    ...(weight && { weight: pick(weight) }),
  }, { confidence, causes: [...new Set([cause, ...Array.from(event).filter((k) => k > 0)])] });
  const own = curve.causes.find((one) => one.cause === cause)!;
  const { incidence, lower, upper } = own.at([at]);
  return { estimate: incidence[0]!, lower: lower[0]!, upper: upper[0]! };
}

function predictedMean(
  { weight }: FollowUp,
  predicted: Float64Array,
  members: readonly number[],
): number {
  let [sum, total] = [0, 0];
  for (const row of members) {
    sum += (weight?.[row] ?? 1) * predicted[row]!;
    total += weight?.[row] ?? 1;
  }
  return sum / total;
}
