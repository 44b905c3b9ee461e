import { checkChoice, distributions } from "../../numerics/mod.ts";

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
