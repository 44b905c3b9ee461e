import {
  type DesignedFollowUp,
  type SampleWeights,
  underWeights,
} from "../../balance/samples/mod.ts";
import type { EndpointFollowUp } from "../../cohort/follow-up/mod.ts";
import type { IncidenceContrast } from "../../competing/incidence/mod.ts";
import { incidenceContrasts, survivalContrasts } from "../../missing/study/mod.ts";
import { distributions } from "../../numerics/mod.ts";

/** Two groups and their difference at one horizon: repair minus replacement. */
export type EndpointContrast = Omit<IncidenceContrast, "ratio">;

/** Alive for death, cumulative incidence for any other endpoint, at each horizon. */
export function endpointContrasts(
  followUp: EndpointFollowUp,
  weights: SampleWeights,
  options: { times: readonly number[]; confidence: number },
): EndpointContrast[] {
  return contrastsOf(followUp.endpoint, underWeights(followUp, weights), options);
}

/** The same of follow-up whose sample is made already. */
export function contrastsOf(
  endpoint: string,
  data: DesignedFollowUp,
  options: { times: readonly number[]; confidence: number },
): EndpointContrast[] {
  return endpoint === "death"
    ? survivalContrasts(data, options)
    : incidenceContrasts(data, options);
}

/**
 * The standard error of a difference, with few events that of its limits: the normal one is then
 * too small, or 0.
 */
export function errorOf({ difference, fewEvents }: EndpointContrast, confidence: number): number {
  if (!fewEvents) return difference.standardError;
  const z = distributions.normalUpperQuantile((1 - confidence) / 2);
  return (difference.upper - difference.lower) / (2 * z);
}
