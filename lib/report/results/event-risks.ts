import type { ValveEvent } from "../../cohort/follow-up/mod.ts";
import { incidenceDifference } from "../../competing/incidence/mod.ts";
import type { EventRisk } from "../valve-tables/mod.ts";

/**
 * The cumulative incidence of each event by a time, with death and other reoperation competing.
 * Events that nothing competes with, or that fewer than `smallestCell` patients had, are left out.
 *
 * @param options.weight One a row of the analysis, such as weights that make the groups alike.
 * @example
 * ```ts
 * import { eventRisks, openAnalysis, valveEvents, weightedSample } from "mitral";
 * const { analysis, study } = await openAnalysis();
 * const { weight } = weightedSample(analysis, study);
 * const risks = eventRisks(valveEvents(analysis), { weight, time: 5, smallestCell: 11 });
 * ```
 * @throws {DataError} as `incidenceDifference`.
 */
export function eventRisks(
  events: readonly ValveEvent[],
  { weight, time, smallestCell, confidence }: {
    weight: ArrayLike<number>;
    time: number;
    smallestCell: number;
    confidence?: number;
  },
): EventRisk[] {
  return events.flatMap((one): EventRisk[] => {
    const had = one.cause.reduce((sum, code) => sum + (code === 1 ? 1 : 0), 0);
    if (had < smallestCell || !one.cause.includes(2)) return [];
    const [contrast] = incidenceDifference({
      time: one.time,
      event: one.cause,
      group: one.treated,
      weight: Float64Array.from(one.rows, (row) => weight[row]!),
    }, { cause: 1, times: [time], confidence });
    return contrast ? [{ label: one.label, contrast }] : [];
  });
}
