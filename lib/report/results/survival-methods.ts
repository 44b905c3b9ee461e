import type { StudyPropensity } from "../../balance/score/mod.ts";
import { populationWeights } from "../../balance/weigh/mod.ts";
import type { EndpointFollowUp } from "../../cohort/follow-up/mod.ts";
import type { Analysis } from "../../cohort/model/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import {
  doublyRobustSurvival,
  type StandardizedContrast,
  standardizedSurvival,
} from "../../survival/standardized/mod.ts";

/** Survival compared by models of survival instead of the choice of operation. */
export interface ModelledSurvival {
  /** By an outcome model alone. */
  standardized: StandardizedContrast[];
  /** By outcome model and weights. */
  doublyRobust: StandardizedContrast[];
  /** What did not go as it should, once each. */
  warnings: string[];
}

/**
 * Survival under either operation by regression alone, standardised, and doubly robust, for the
 * population the plan names, with the plan's covariates.
 *
 * @param propensity The plan's score, as it was made for matching and weighting.
 * @example
 * ```ts ignore
 * import { followUpOf, modelledSurvival, openAnalysis } from "mitral";
 * const { analysis, study } = await openAnalysis();
 * const death = followUpOf(analysis, "death");
 * modelledSurvival(analysis, { study, followUp: death, propensity }).doublyRobust;
 * ```
 * @throws {DataError} as `standardizedSurvival` and `doublyRobustSurvival`.
 */
export function modelledSurvival(
  analysis: Analysis,
  { study, followUp, propensity }: {
    study: Study;
    followUp: EndpointFollowUp;
    propensity: StudyPropensity;
  },
): ModelledSurvival {
  const { horizons, confidence, estimand } = study;
  const { design, score } = propensity;
  const { treated } = analysis;
  const { time, event } = followUp;
  const columns = { time, event, treated, covariates: design.covariates };
  const options = { times: horizons, confidence };
  const target = populationWeights({ treated, score }, { estimand });
  const standardized = standardizedSurvival({ ...columns, target }, options);
  const doublyRobust = doublyRobustSurvival(columns, {
    ...options,
    population: estimand,
    models: { censoring: [] },
  });
  return {
    standardized: standardized.contrasts,
    doublyRobust: doublyRobust.contrasts,
    warnings: [...new Set([...standardized.warnings, ...doublyRobust.warnings])],
  };
}
