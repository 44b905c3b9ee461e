import type { DesignedFollowUp } from "../../balance/samples/mod.ts";
import type { EndpointFollowUp } from "../../cohort/follow-up/mod.ts";
import type { Analysis } from "../../cohort/model/mod.ts";
import { survivalDifference } from "../../competing/incidence/mod.ts";
import { pooledContrasts, pooledRestrictedMean } from "../../missing/study/mod.ts";
import { pairBootstrap, procedureBootstrap } from "../../sensitivity/bootstrap/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import type { RepeatedLine } from "../tables/mod.ts";

const months = 12;

/**
 * Limits of survival at one time with pairs and weights taken as they are, beside those of
 * repeating the whole procedure on patients drawn anew; and of the months of life, with the pairs
 * drawn as they are. None where the plan asks for no replicates.
 *
 * @param designs The same follow-up in the pairs and weighted.
 * @example
 * ```ts ignore
 * import { followUpOf, openAnalysis, repeatedProcedure } from "mitral";
 * const { analysis, study } = await openAnalysis();
 * const followUp = followUpOf(analysis, "death");
 * const lines = await repeatedProcedure(analysis, { study, followUp, time: 5, matched, weighted });
 * ```
 */
export async function repeatedProcedure(
  analysis: Analysis,
  { study, followUp, time, matched, weighted, whom }: {
    study: Study;
    followUp: EndpointFollowUp;
    time: number;
    /** Null where there are no pairs. */
    matched: DesignedFollowUp | null;
    weighted: DesignedFollowUp;
    /** Whom each design speaks of, in words. */
    whom: { matched: string; weighted: string };
  },
): Promise<RepeatedLine[]> {
  const { replicates } = study.bootstrap;
  if (replicates === 0) return [];
  const lines: RepeatedLine[] = [];
  for (const [design, data] of [["weighted", weighted], ["matched", matched]] as const) {
    if (!data) continue;
    const { confidence } = study;
    const [given] = pooledContrasts(
      data,
      (own) => survivalDifference(own, { times: [time], confidence }),
      { confidence },
    );
    const { survival } = await procedureBootstrap({ analysis, study, followUp, design }, {
      replicates,
      horizons: [time],
      restrictedMeanHorizon: null,
    });
    const [repeated] = survival;
    if (!given || !repeated) continue;
    const comparison = `Alive at ${time} years, per 100, ${design}`;
    lines.push({ comparison, whom: whom[design], given: given.difference, repeated });
  }
  if (!matched) return lines;
  const horizon = study.restrictedMeanHorizon;
  const { restrictedMean } = await pairBootstrap(matched, study, { replicates });
  if (restrictedMean) {
    lines.push({
      comparison: `Months of life in ${horizon} years, pairs as they are`,
      whom: whom.matched,
      given: pooledRestrictedMean(matched, { horizon }).difference,
      repeated: restrictedMean,
      times: months,
    });
  }
  return lines;
}
