import { underWeights, weightedSample } from "../../balance/samples/mod.ts";
import type { EndpointFollowUp } from "../../cohort/follow-up/mod.ts";
import type { Analysis } from "../../cohort/model/mod.ts";
import {
  type IncidenceContrast,
  incidenceDifference,
  type SurvivalContrast,
  survivalDifference,
} from "../../competing/incidence/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import { contrastAt } from "../pair-tables/mod.ts";

/** At which time two groups are compared, and with which limits. */
export interface ComparedAt {
  /** Years after operation. */
  time: number;
  /** Of limits, default 0.95. */
  confidence?: number;
}

/**
 * How survival differs at one time once patients have been weighted anew: hand it to what changes
 * patients' covariates, such as `tippingPoint()`, or the plan, such as `confounderYardstick()`.
 *
 * @param followUp Of the patients as they are: what is changed are their covariates.
 * @returns The comparison of an analysis, under its own plan or another.
 */
export function survivalWeightedAnew(
  followUp: EndpointFollowUp,
  { time, confidence }: ComparedAt,
): (analysis: Analysis, study?: Study) => SurvivalContrast {
  return weightedAnew(
    followUp,
    time,
    (data) => survivalDifference(data, { times: [time], confidence }),
  );
}

/** The same of the cumulative incidence of an endpoint, everything else competing. */
export function incidenceWeightedAnew(
  followUp: EndpointFollowUp,
  { time, confidence }: ComparedAt,
): (analysis: Analysis, study?: Study) => IncidenceContrast {
  return weightedAnew(
    followUp,
    time,
    (data) => incidenceDifference(data, { cause: 1, times: [time], confidence }),
  );
}

function weightedAnew<Contrast extends { time: number }>(
  followUp: EndpointFollowUp,
  time: number,
  compare: (data: ReturnType<typeof underWeights>) => Contrast[],
): (analysis: Analysis, study?: Study) => Contrast {
  return (analysis, study = analysis.study) => {
    const data = underWeights(followUp, weightedSample(analysis, study).weight);
    return contrastAt(compare(data), time);
  };
}
