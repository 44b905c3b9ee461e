import type { FollowUpColumns } from "../../numerics/mod.ts";
import { effectiveNumbers, eventTable } from "../../survival/curve/mod.ts";
import { ENOUGH, limitsOfSome, meanNumber } from "../incidence/mod.ts";

/** The mean time in one state, and its limits at any level. */
export interface StateTimeAt {
  estimate: number;
  standardError: number;
  /** Whether enough have been in the state, and out of it, for a normal error. */
  normal: boolean;
  limits(confidence: number): [lower: number, upper: number];
}

/**
 * Limits of the mean time in one state within a horizon, in an arm.
 *
 * Few have been in some states, and for how long differs: the mean is skewed, and plain limits lie
 * too low (in simulated data they held the truth in as few as 53 of 100). As a share of the
 * horizon, taken from the nearer of 0 and 1, it has the limits of a probability out of few events,
 * see `limitsOfSome`, where the one more patient spends half the horizon in the state, as one does
 * whose move may come at any time. Where nobody has been there, those of none seen. `normal` is
 * whether p^2(1 - p) / s^2, the events it is worth, are at least {@link ENOUGH}.
 *
 * @param columns Rows of time in states of the arm.
 * @param horizon Time from the start to the horizon.
 * @see Coverage: `test/calibration/states`.
 */
export function stateTimeLimits(
  columns: FollowUpColumns,
  horizon: number,
): (at: Pick<StateTimeAt, "estimate" | "standardError">) => StateTimeAt {
  let known: number | undefined;
  const number = () => {
    if (known !== undefined) return known;
    const table = eventTable(columns);
    // a patient who spends half the horizon there is half an event
    return known = 2 * meanNumber(table.time, effectiveNumbers(columns, table), horizon);
  };
  return ({ estimate, standardError }) => {
    const share = estimate / horizon;
    const isLow = share <= 0.5;
    const p = isLow ? share : 1 - share;
    const variance = (standardError / horizon) ** 2;
    const normal = p > 0 && p * p * (1 - p) >= ENOUGH * variance;
    return {
      estimate,
      standardError,
      normal,
      limits(confidence) {
        const some = { estimate: p, variance, number: number() };
        const [lower, upper] = limitsOfSome(some, confidence);
        return isLow
          ? [horizon * lower, horizon * upper]
          : [horizon * (1 - upper), horizon * (1 - lower)];
      },
    };
  };
}
