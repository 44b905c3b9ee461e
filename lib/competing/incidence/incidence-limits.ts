import { checkChoice, distributions, type FollowUpColumns } from "../../numerics/mod.ts";
import { effectiveNumbers, eventTable, fewEventsLimits } from "../../survival/curve/mod.ts";

/** How limits of a probability are formed. */
export type IncidenceInterval = "log-log" | "plain";

/** Limits along a step curve, before its first step and past its last. */
export interface StepLimits {
  lower: Float64Array;
  upper: Float64Array;
  atStart: [lower: number, upper: number];
  past: [lower: number, upper: number];
}

/** Limits of every step of a cumulative incidence, see {@link incidenceLimits}. */
export function limitsAlong(
  { incidence, standardError }: { incidence: Float64Array; standardError: Float64Array },
  z: number,
  interval: IncidenceInterval,
): StepLimits {
  const lower = new Float64Array(incidence.length);
  const upper = new Float64Array(incidence.length);
  for (let j = 0; j < incidence.length; j++) {
    const repeats = j > 0 && incidence[j] === incidence[j - 1] &&
      standardError[j] === standardError[j - 1];
    [lower[j], upper[j]] = repeats
      ? [lower[j - 1]!, upper[j - 1]!]
      : incidenceLimits(incidence[j]!, standardError[j]!, z, interval);
  }
  return { lower, upper, atStart: [0, 0], past: [NaN, NaN] };
}

/** Checks the kind of interval (default log-log). @throws {DataError} */
export function checkInterval(interval: IncidenceInterval = "log-log"): IncidenceInterval {
  return checkChoice("interval", interval, ["log-log", "plain"]);
}

/** The normal quantile for two-sided limits at a level. */
export function limitQuantile(confidence: number): number {
  return distributions.normalUpperQuantile((1 - confidence) / 2);
}

/**
 * Pointwise limits of a cumulative incidence F with standard error s.
 *
 * log-log: F^exp(-+ z s / (F log F)), which keeps within [0, 1] (Kalbfleisch and Prentice 1980,
 * section 8.2; Choudhury 2002). plain: F -+ z s, cut at 0 and 1. F = 0 has the limits [0, 0] and
 * F = 1 has none (NaN): a jackknife cannot say how sure a probability of 0 or 1 is.
 */
export function incidenceLimits(
  incidence: number,
  standardError: number,
  z: number,
  interval: IncidenceInterval,
): [lower: number, upper: number] {
  if (incidence <= 0) return [0, 0];
  if (Number.isNaN(incidence) || incidence >= 1) return [NaN, NaN];
  if (interval === "plain") {
    return [
      Math.max(0, incidence - z * standardError),
      Math.min(1, incidence + z * standardError),
    ];
  }
  const power = z * standardError / (incidence * Math.log(incidence)); // below 0
  return [Math.pow(incidence, Math.exp(-power)), Math.pow(incidence, Math.exp(power))];
}

/** An arm with fewer events than this by a horizon has few: common practice, no source. */
export const FEW = 5;

/**
 * Limits of a cumulative incidence that mean something where few events, or none, have been seen.
 *
 * One cause alone: one minus the beta product limits of survival (Fay, Brittain & Proschan 2013).
 * One of several causes: without an event of it by t, [0, 1 - a^(1/Y)], a = (1 - confidence) / 2
 * and Y the number still at risk after t, the effective number under weights; with events, log-log.
 */
export function fewEventsIncidence(
  columns: FollowUpColumns,
  cause: number,
  steps: { incidence: Float64Array; standardError: Float64Array },
  confidence: number,
): StepLimits {
  const table = eventTable(columns);
  if (isAlone(columns, cause)) {
    const { lower, upper, atStart, past } = fewEventsLimits(columns, table, confidence);
    return {
      lower: upper.map((value) => 1 - value),
      upper: lower.map((value) => 1 - value),
      atStart: [1 - atStart[1], 1 - atStart[0]],
      past: [1 - past![1], 1 - past![0]],
    };
  }
  const { after, atStart } = effectiveNumbers(columns, table);
  const z = limitQuantile(confidence);
  const rows = table.time.length;
  const lower = new Float64Array(rows);
  const upper = new Float64Array(rows);
  for (let j = 0; j < rows; j++) {
    const incidence = steps.incidence[j]!;
    [lower[j], upper[j]] = incidence > 0
      ? incidenceLimits(incidence, steps.standardError[j]!, z, "log-log")
      : noneSeen(after[j]!, confidence);
  }
  const never = steps.incidence[rows - 1] === 0;
  return {
    lower,
    upper,
    atStart: noneSeen(atStart, confidence),
    past: never ? [0, 1] : [NaN, NaN],
  };
}

/** Whether nobody had another cause. */
export function isAlone({ event, order }: FollowUpColumns, cause: number): boolean {
  for (const row of order) if (event[row] !== 0 && event[row] !== cause) return false;
  return true;
}

/** Limits without an event among so many. */
export function noneSeen(number: number, confidence: number): [lower: number, upper: number] {
  return [0, number > 0 ? -Math.expm1(Math.log((1 - confidence) / 2) / number) : 1];
}
