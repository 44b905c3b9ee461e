import { studyPropensity } from "../../balance/score/mod.ts";
import {
  matchedSample,
  pairedFollowUp,
  underWeights,
  weightedSample,
} from "../../balance/samples/mod.ts";
import { selectEligible } from "../../cohort/analysis/mod.ts";
import { followUpOf } from "../../cohort/follow-up/mod.ts";
import type { Cohort } from "../../cohort/model/mod.ts";
import { survivalDifference } from "../../competing/incidence/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import type { IntentionLine } from "../tables/mod.ts";

/**
 * Survival at one time with the groups taken by the intended and by the final operation, matched and
 * weighted: everything from the choice of patients on is done anew for each.
 *
 * @example
 * ```ts ignore
 * import { bothProcedures, openAnalysis } from "mitral";
 * const { study, cohort } = await openAnalysis();
 * const lines = bothProcedures(cohort, { study, time: 5 });
 * ```
 * @throws {DataError} as `selectEligible`, `matchedSample` and `weightedSample`.
 */
export function bothProcedures(
  cohort: Cohort,
  { study, time }: { study: Study; time: number },
): IntentionLine[] {
  return (["intended", "final"] as const).flatMap((by) => {
    const plan = { ...study, groups: { ...study.groups, by } };
    const taken = selectEligible(cohort, plan);
    const death = followUpOf(taken, "death");
    const propensity = studyPropensity(taken, plan);
    const { weight } = weightedSample(taken, plan, { propensity });
    const designs = [
      { method: "Weighted", data: underWeights(death, weight) },
      {
        method: "Matched pairs",
        data: pairedFollowUp(death, matchedSample(taken, plan, { propensity })),
      },
    ];
    return designs.flatMap(({ method, data }) =>
      (data ? survivalDifference(data, { times: [time], confidence: study.confidence }) : [])
        .map((contrast): IntentionLine => ({ by, method, procedures: taken.procedures, contrast }))
    );
  });
}
