import { checkNumber, distributions } from "../../numerics/mod.ts";

/** The comparison of two hazards that is planned. */
export interface HazardPlan {
  /** Other than 1. */
  hazardRatio: number;
  /** Two-sided, 0.05. */
  alpha?: number;
  /** Share of patients in one of the groups, 0.5. */
  allocation?: number;
}

/**
 * Events needed to find a hazard ratio with a log-rank test or Cox regression of two groups,
 * rounded up: (z of alpha / 2 + z of power)^2 / (p (1 - p) log(HR)^2).
 *
 * @example
 * ```ts
 * import { requiredEvents } from "mitral";
 * requiredEvents({ hazardRatio: 0.7 }); // 247
 * ```
 * @param plan.power Default 0.8.
 * @throws {DataError}
 * @see Schoenfeld (1983) Biometrics 39:499-503.
 */
export function requiredEvents(plan: HazardPlan & { power?: number }): number {
  return Math.ceil(exactEvents(plan) - 1e-9);
}

/**
 * Patients needed for that many events, if a share `eventProbability` of all patients has one
 * within follow-up.
 *
 * @throws {DataError}
 */
export function requiredPatients(
  plan: HazardPlan & { power?: number; eventProbability: number },
): number {
  const share = proportion("eventProbability", plan.eventProbability);
  return Math.ceil(exactEvents(plan) / share - 1e-9);
}

/**
 * Power that a number of events gives: Phi(sqrt(d p (1 - p)) |log HR| - z of alpha / 2).
 *
 * @throws {DataError}
 * @see Schoenfeld (1983) Biometrics 39:499-503.
 */
export function powerForEvents(plan: HazardPlan & { events: number }): number {
  const { size, spread, z } = partsOf(plan);
  const events = checkNumber("events", plan.events, (v) => v >= 0 && v < Infinity, "a number >= 0");
  return distributions.normalLower(Math.sqrt(events * spread) * size - z);
}

function exactEvents(plan: HazardPlan & { power?: number }): number {
  const { size, spread, z } = partsOf(plan);
  const power = proportion("power", plan.power ?? 0.8);
  // chance alone finds something that often; below it the formula answers with events all the same
  const alpha = plan.alpha ?? 0.05;
  checkNumber("power", power, (p) => p > alpha, `above the level ${alpha}`);
  return (z + distributions.normalQuantile(power)) ** 2 / (spread * size ** 2);
}

function partsOf(plan: HazardPlan) {
  const hazardRatio = checkNumber(
    "hazardRatio",
    plan.hazardRatio,
    (v) => v > 0 && v < Infinity && v !== 1,
    "a finite number > 0 other than 1",
  );
  const share = proportion("allocation", plan.allocation ?? 0.5);
  return {
    size: Math.abs(Math.log(hazardRatio)),
    spread: share * (1 - share),
    z: distributions.normalUpperQuantile(level(plan.alpha ?? 0.05) / 2),
  };
}

function proportion(name: string, value: number): number {
  return checkNumber(name, value, (v) => v > 0 && v < 1, "between 0 and 1");
}

/** The level of a test: 0.95 would be the confidence that goes with 0.05. */
function level(alpha: number): number {
  return checkNumber("alpha", alpha, (v) => v > 0 && v <= 0.5, "above 0 and at most 0.5");
}
