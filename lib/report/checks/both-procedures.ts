import { studyPropensity } from "../../balance/score/mod.ts";
import {
  matchedSample,
  pairedFollowUp,
  underWeights,
  weightedSample,
} from "../../balance/samples/mod.ts";
import { selectEligible } from "../../cohort/analysis/mod.ts";
import { followUpOf } from "../../cohort/follow-up/mod.ts";
import type { Analysis, Cohort } from "../../cohort/model/mod.ts";
import { setsForMany } from "../../missing/pool/mod.ts";
import { completedSets, survivalContrasts, withCompletions } from "../../missing/study/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import type { IntentionLine } from "../tables/mod.ts";

/**
 * Survival at one time with the groups taken by the intended and by the final operation, matched
 * and weighted: everything from the choice of patients on is done anew for each. Where missing
 * covariates are imputed, the other way of taking the groups than the plan's is completed anew,
 * five times.
 *
 * @example
 * ```ts ignore
 * import { bothProcedures, openAnalysis } from "mitral";
 * const { cohort, study, analysis } = await openAnalysis();
 * const lines = await bothProcedures(cohort, { study, analysis, time: 5 });
 * ```
 * @throws {DataError} as `selectEligible`, `matchedSample` and `weightedSample`.
 */
export async function bothProcedures(
  cohort: Cohort,
  { study, analysis, time }: { study: Study; analysis: Analysis; time: number },
): Promise<IntentionLine[]> {
  const lines: IntentionLine[] = [];
  const { confidence } = study;
  for (const by of ["intended", "final"] as const) {
    const plan = { ...study, groups: { ...study.groups, by } };
    const taken = by === study.groups.by ? analysis : await takenBy(cohort, plan);
    const death = followUpOf(taken, "death");
    const propensity = studyPropensity(taken, plan);
    const designs = [
      {
        method: "Weighted",
        data: underWeights(death, weightedSample(taken, plan, { propensity })),
      },
      {
        method: "Matched pairs",
        data: pairedFollowUp(death, matchedSample(taken, plan, { propensity })),
      },
    ];
    for (const { method, data } of designs) {
      if (!data) continue;
      const [contrast] = survivalContrasts(data, { times: [time], confidence });
      if (contrast) lines.push({ by, method, procedures: taken.procedures, contrast });
    }
  }
  return lines;
}

// The other way of taking the groups is a check, for which fewer sets do.
const setsOfOther = 5;

async function takenBy(cohort: Cohort, plan: Study): Promise<Analysis> {
  const taken = selectEligible(cohort, plan);
  const sets = setsForMany(Math.min(setsOfOther, plan.missing.sets ?? setsOfOther), taken.n);
  return withCompletions(taken, await completedSets(taken, plan, { sets }));
}
