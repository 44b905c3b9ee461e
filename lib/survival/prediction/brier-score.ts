import { checkDataColumns, type FollowUp, numberColumn, type Numbers } from "../../numerics/mod.ts";
import { knownAt } from "./censoring-weights.ts";

/** How far predicted chances lie from what happened. */
export interface BrierScore {
  /** Mean squared distance of the predicted chance from the outcome; 0 is perfect. */
  estimate: number;
  /** The same, had everybody been given the share of all with the event by then. */
  reference: number;
  /** 1 - estimate / reference: 0 no better than that, 1 perfect; below 0 worse. */
  scaled: number;
}

/**
 * Brier score of predicted chances of an event by a horizon, some rows censored before it.
 *
 * Rows whose outcome is known stand for those censored (inverse probability of censoring, by one
 * curve for all: fair where censoring does not depend on the prediction). With several causes the
 * event is `cause`; another cause means it never comes. Events come before censorings at one time.
 * Cost O(n log n).
 *
 * @example
 * ```ts
 * import { brierScore } from "mitral";
 * brierScore({ time: [1, 2, 3, 4], event: [1, 0, 1, 0], predicted: [0.9, 0.2, 0.4, 0.1] }, { at: 3 });
 * ```
 * @param data.predicted The chance of the event (of `cause`) by `at`, from 0 to 1.
 * @param options.cause Default 1.
 * @throws {DataError} for a value out of range, or a horizon past the last observed time.
 * @see Graf, Schmoor, Sauerbrei & Schumacher (1999) Stat Med 18:2529-2545; competing events: Gerds
 * & Schumacher (2006) Biom J 48:1029-1040.
 */
export function brierScore(
  data: FollowUp & { predicted: Numbers },
  options: { at: number; cause?: number },
): BrierScore {
  checkDataColumns("brierScore", data, ["time", "event", "weight", "predicted"]);
  const { n, outcome, weight, total } = knownAt(data, options);
  const predicted = numberColumn("predicted", data.predicted, { length: n, min: 0, max: 1 });
  let share = 0;
  for (let i = 0; i < n; i++) share += weight[i]! * outcome[i]! / total;
  let estimate = 0;
  let reference = 0;
  for (let i = 0; i < n; i++) {
    estimate += weight[i]! * (outcome[i]! - predicted[i]!) ** 2 / total;
    reference += weight[i]! * (outcome[i]! - share) ** 2 / total;
  }
  return { estimate, reference, scaled: reference > 0 ? 1 - estimate / reference : NaN };
}
