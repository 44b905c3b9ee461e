import { distributions, type FollowUpColumns } from "../../numerics/mod.ts";
import {
  effectiveNumbers,
  eventTable,
  fewEventsLimitsAfter,
  lastAtMost,
} from "../../survival/curve/mod.ts";
import {
  FEW,
  incidenceLimits,
  isAlone,
  limitQuantile,
  noneSeen,
  type StepLimits,
} from "./incidence-limits.ts";

/** An arm's incidence at one horizon, and its limits at any level. */
export interface ArmAt {
  estimate: number;
  /** Rows with an event of the cause by then. */
  events: number;
  /** Whether events are enough for a normal error to describe it. */
  normal: boolean;
  limits(confidence: number): [lower: number, upper: number];
  /**
   * Whether the arm's own limits are log-log although events are few for a difference: those of
   * survival, from {@link FEW} events on, so that a table says what the Kaplan-Meier curve shows.
   */
  asCurve?: ArmAt["limits"];
}

/**
 * The limits of one arm at one horizon: log-log, but where it has fewer than {@link ENOUGH}
 * effective events by then.
 *
 * Without an event, and where no other cause competes and there are fewer than {@link FEW}, they
 * are those of `fewEventsIncidence`; otherwise {@link limitsOfSome}.
 *
 * @param columns The arm's rows.
 */
export function armLimits(
  columns: FollowUpColumns,
  cause: number,
): (at: { time: number; estimate: number; standardError: number }) => ArmAt {
  const table = eventTable(columns);
  let known: EffectiveNumbers | undefined;
  return limitsOf(columns, cause, table, () => known ??= effectiveNumbers(columns, table));
}

type EffectiveNumbers = ReturnType<typeof effectiveNumbers>;

/**
 * The same, from the arm's table of events and its effective numbers, which are asked
 * for when needed.
 */
function limitsOf(
  columns: FollowUpColumns,
  cause: number,
  table: ReturnType<typeof eventTable>,
  numbers: () => EffectiveNumbers,
): ReturnType<typeof armLimits> {
  const alone = isAlone(columns, cause);
  const own = timesOf(columns, cause);
  return ({ time, estimate, standardError }) => {
    const events = lastAtMost(own, time) + 1;
    const variance = standardError ** 2;
    const effective = estimate * estimate * (1 - estimate) / variance;
    const normal = Number.isNaN(estimate) || estimate >= 1 || (events > 0 && effective >= ENOUGH);
    const as = (limits: ArmAt["limits"]) => ({ estimate, events, normal, limits });
    const logLog: ArmAt["limits"] = (confidence) =>
      incidenceLimits(estimate, standardError, limitQuantile(confidence), "log-log");
    if (normal) return as(logLog);
    const known = numbers();
    const row = lastAtMost(table.time, time);
    if (alone && events < FEW) {
      const ofSurvival = fewEventsLimitsAfter(table, known, row);
      return as((confidence) => {
        const [lower, upper] = ofSurvival(confidence);
        return [1 - upper, 1 - lower];
      });
    }
    const after = row < 0 ? known.atStart : known.after[row]!;
    // an event after everybody had died of something else adds nothing
    if (events === 0 || !(estimate > 0 && variance > 0)) {
      return as((confidence) => noneSeen(after, confidence));
    }
    const number = meanNumber(table.time, known, time);
    return {
      ...as((confidence) => limitsOfSome({ estimate, variance, number }, confidence)),
      ...(alone && { asCurve: logLog }),
    };
  };
}

/** The times of the events of one cause, ascending. */
function timesOf({ order, event, time }: FollowUpColumns, cause: number): Float64Array {
  const times = new Float64Array(order.length);
  let count = 0;
  for (const row of order) if (event[row] === cause) times[count++] = time[row]!;
  return times.subarray(0, count);
}

/**
 * Limits along a step curve as {@link armLimits} gives them at a horizon, so that what is drawn and
 * what stands in a table agree. Between events they move with the number at risk alone, and are
 * formed anew once it has changed by one part in a hundred.
 */
export function limitsAlongArm(
  columns: FollowUpColumns,
  cause: number,
  steps: { time: Float64Array; incidence: Float64Array; standardError: Float64Array },
  confidence: number,
): StepLimits & { few: Uint8Array } {
  const table = eventTable(columns);
  const numbers = effectiveNumbers(columns, table);
  const { atStart, after } = numbers;
  const limitsAt = limitsOf(columns, cause, table, () => numbers);
  const rows = steps.time.length;
  const lower = new Float64Array(rows);
  const upper = new Float64Array(rows);
  const few = new Uint8Array(rows);
  let made = -1;
  for (let j = 0; j < rows; j++) {
    const [estimate, standardError] = [steps.incidence[j]!, steps.standardError[j]!];
    const alike = made >= 0 && estimate === steps.incidence[made] &&
      standardError === steps.standardError[made] &&
      Math.abs(after[j]! - after[made]!) <= 0.01 * after[made]!;
    if (!alike) made = j;
    if (alike) [lower[j], upper[j], few[j]] = [lower[made]!, upper[made]!, few[made]!];
    else {
      const arm = limitsAt({ time: steps.time[j]!, estimate, standardError });
      [lower[j], upper[j]] = (arm.asCurve ?? arm.limits)(confidence);
      few[j] = arm.normal || arm.asCurve ? 0 : 1;
    }
  }
  const never = steps.incidence[rows - 1] === 0;
  return {
    ...{ lower, upper, few, past: never ? [0, 1] : [NaN, NaN] },
    atStart: noneSeen(atStart, confidence),
  };
}

/** Fewer effective events than this are few for a normal error: found in simulated cohorts. */
export const ENOUGH = 20;

/**
 * Limits of a probability out of few events, p seen with variance V among Y at risk.
 *
 * The lower one is Clopper and Pearson's for an effective number p(1 - p) / V. The upper one asks
 * what one more patient, of those still to be seen, would make of it: survival is taken as a beta
 * variable with mean 1 - p and variance V, times an independent Beta(Y, 1), and the product as the
 * beta variable with its first two moments. Under weights the events seen may be light ones, so
 * that V is small where the truth is large; the one more weighs what an average patient does.
 *
 * @see Korn & Graubard (1998) Survey Methodology 24:193-201 (effective numbers); Fay & Feuer (1997)
 * Stat Med 16:791-801 (one more event, under weights); Fay, Brittain & Proschan (2013)
 * Biostatistics 14:723-736 (the product); coverage: `test/calibration/printed`.
 */
export function limitsOfSome(
  { estimate: p, variance, number }: { estimate: number; variance: number; number: number },
  confidence: number,
): [lower: number, upper: number] {
  // no beta variable: no event, all alike but for rounding, or weights that leave next to nobody
  const most = p * (1 - p);
  if (!(variance > 1e-12 * most && variance < most)) {
    const [, unseen] = noneSeen(number, confidence);
    return [p * (1 - unseen), p + (1 - p) * unseen];
  }
  const tail = (1 - confidence) / 2;
  const effective = p * (1 - p) / variance;
  const events = effective * p;
  const first = (1 - p) * number / (number + 1);
  const second = ((1 - p) ** 2 + variance) * number / (number + 2);
  const total = first * (1 - first) / (second - first * first) - 1;
  return [
    distributions.betaQuantile(tail, events, effective - events + 1),
    1 - distributions.betaQuantile(tail, first * total, (1 - first) * total),
  ];
}

/**
 * The effective number at risk over the time up to a horizon: the mean of its inverse, inverted.
 */
export function meanNumber(
  times: Float64Array,
  { atRisk, atStart }: { atRisk: Float64Array; atStart: number },
  horizon: number,
): number {
  let inverse = 0;
  let from = 0;
  for (let j = 0; j < times.length && from < horizon; j++) {
    const to = Math.min(times[j]!, horizon);
    inverse += (to - from) / atRisk[j]!;
    from = to;
  }
  return from > 0 ? from / inverse : atStart; // all of it on the first day
}
