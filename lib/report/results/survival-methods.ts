import { type StudyPropensity, warningsOf } from "../../balance/score/mod.ts";
import { populationWeights } from "../../balance/weigh/mod.ts";
import type { EndpointFollowUp } from "../../cohort/follow-up/mod.ts";
import { keptAnswer } from "../../cohort/kept/mod.ts";
import type { Analysis } from "../../cohort/model/mod.ts";
import { poolContrasts } from "../../missing/pool/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import {
  standardizedBothWays,
  type StandardizedContrast,
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
 * population the plan names, with the plan's covariates; pooled over completed sets where missing
 * ones are imputed.
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
  const { treated, n } = analysis;
  const { time, event } = followUp;
  const options = { times: horizons, confidence };
  const inSets = propensity.inSets ?? [propensity];
  const make = () =>
    inSets.map(({ design, score }) => {
      const target = populationWeights({ treated, score }, { estimand });
      return standardizedBothWays(
        { time, event, treated, covariates: design.covariates, target },
        { ...options, population: estimand },
      );
    });
  const question = ["modelled survival", time, event, inSets.map(({ score }) => score)];
  const each = study === analysis.study ? keptAnswer(analysis, question, make) : make();
  const { phrases } = analysis.groups;
  const named = (text: string) =>
    text.replace(/\bgroup 1\b/, `those with ${phrases.repair}`)
      .replace(/\bgroup 0\b/, `those with ${phrases.replacement}`);
  const pooled = (sets: StandardizedContrast[][]) =>
    sets.length === 1 ? sets[0]! : poolContrasts(sets, { confidence, units: n });
  return {
    standardized: pooled(each.map(({ standardized }) => standardized.contrasts)),
    doublyRobust: pooled(each.map(({ doublyRobust }) => doublyRobust.contrasts)),
    warnings: warningsOf(each.map(({ standardized, doublyRobust }) => ({
      warnings: [
        ...new Set([...standardized.warnings, ...doublyRobust.warnings].map(named).map(uncounted)),
      ],
    }))),
  };
}

/** A warning without how many rows it is about, which differs from set to set and may be few. */
function uncounted(warning: string): string {
  return warning.replace(/\bfor \d+ of \d+ rows and was\b/, "for some patients and was");
}
