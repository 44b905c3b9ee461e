import {
  type DesignedFollowUp,
  matchedSample,
  pairedFollowUp,
  weightedSample,
} from "../../balance/samples/mod.ts";
import { type EndpointFollowUp, followUpOf } from "../../cohort/follow-up/mod.ts";
import type { Analysis } from "../../cohort/model/mod.ts";
import { enoughOf } from "../../missing/open/mod.ts";
import { pooledRestrictedMean, survivalContrasts } from "../../missing/study/mod.ts";
import { betweenVisitsJob } from "../../sensitivity/between-visits/mod.ts";
import {
  pairBootstrap,
  pairJob,
  procedureBootstrap,
  procedureJob,
  type ReplicateJob,
} from "../../sensitivity/bootstrap/mod.ts";
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
    const [given] = survivalContrasts(data, { times: [time], confidence });
    const { survival } = await procedureBootstrap(
      { analysis, study, followUp, design },
      atOneTime(study, time),
    );
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

/** Of survival alone, and at one time. */
function atOneTime({ bootstrap }: Study, time: number) {
  return { replicates: bootstrap.replicates, horizons: [time], restrictedMeanHorizon: null };
}

/**
 * What a report's notebooks repeat on patients drawn anew, as jobs that can be done elsewhere: what
 * {@link repeatedProcedure} does, of death at the plan's main horizon, and recurrence between
 * visits.
 */
export async function repeatedJobs(analysis: Analysis): Promise<ReplicateJob[]> {
  const { study } = analysis;
  const { replicates } = study.bootstrap;
  if (replicates === 0) return [];
  const followUp = followUpOf(analysis, "death");
  const { propensity } = weightedSample(analysis, study);
  const matched = pairedFollowUp(followUp, matchedSample(analysis, study, { propensity }));
  const visits = betweenVisitsJob(await enoughOf(analysis), study);
  const designs = matched ? ["weighted", "matched"] as const : ["weighted"] as const;
  return [
    ...designs.map((design) =>
      procedureJob({ analysis, study, followUp, design }, atOneTime(study, study.mainHorizon))
    ),
    ...(matched ? [pairJob(matched, study, { replicates })] : []),
    ...(visits ? [visits] : []),
  ];
}
