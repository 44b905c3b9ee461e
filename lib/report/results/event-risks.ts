import { type SampleWeights, underWeights } from "../../balance/samples/mod.ts";
import type { ValveEvent } from "../../cohort/follow-up/mod.ts";
import { incidenceContrasts } from "../../missing/study/mod.ts";
import type { EventRisk } from "../valve-tables/mod.ts";

/**
 * The cumulative incidence of each event by a time, with death and other reoperation competing.
 * Events that nothing competes with, or that fewer than `smallestCell` patients had, are left out.
 *
 * @param options.weighting Weights that make the groups alike, one a row of the analysis.
 * @example
 * ```ts
 * import { eventRisks, openAnalysis, valveEvents, weightedSample } from "mitral";
 * const { analysis, study } = await openAnalysis();
 * const weighting = weightedSample(analysis, study);
 * const risks = eventRisks(valveEvents(analysis), { weighting, time: 5, smallestCell: 11 });
 * ```
 * @throws {DataError} as `incidenceDifference`.
 */
export function eventRisks(
  events: readonly ValveEvent[],
  { weighting, time, smallestCell, confidence }: {
    weighting: SampleWeights;
    time: number;
    smallestCell: number;
    confidence?: number;
  },
): EventRisk[] {
  return events.flatMap((one): EventRisk[] => {
    const had = one.cause.reduce((sum, code) => sum + (code === 1 ? 1 : 0), 0);
    if (had < smallestCell || !one.cause.includes(2)) return [];
    const event = Int32Array.from(one.cause);
    const data = underWeights({ ...one, event }, weighting);
    const [contrast] = incidenceContrasts(data, { times: [time], confidence });
    return contrast ? [{ label: one.label, contrast }] : [];
  });
}
