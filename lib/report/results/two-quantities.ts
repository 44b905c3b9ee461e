import type { DesignedFollowUp } from "../../balance/samples/mod.ts";
import {
  cumulativeIncidence,
  incidenceIgnoringCompetingEvents,
} from "../../competing/incidence/mod.ts";
import { filterRows } from "../../numerics/mod.ts";
import type { TwoQuantities } from "../valve-tables/mod.ts";

/**
 * The cumulative incidence of cause 1 beside one minus its Kaplan-Meier estimate, repair first.
 *
 * @param options.causes All that compete, cause 1 among them.
 * @example
 * ```ts
 * import { followUpOf, openAnalysis, twoQuantities, underWeights, weightedSample } from "mitral";
 * const { analysis, study } = await openAnalysis();
 * const recurrence = followUpOf(analysis, "recurrence");
 * const { weight } = weightedSample(analysis, study);
 * twoQuantities(underWeights(recurrence, weight), { causes: [1, 2, 3], horizons: [1, 5] });
 * ```
 * @throws {DataError} as `cumulativeIncidence`.
 */
export function twoQuantities(
  data: DesignedFollowUp,
  { causes, horizons }: { causes: number[]; horizons: readonly number[] },
): TwoQuantities[] {
  const { time, event, weight } = data;
  return ([1, 0] as const).flatMap((group) => {
    const own = filterRows({ time, event, weight }, (row) => data.group[row] === group);
    const naive = incidenceIgnoringCompetingEvents(own, { cause: 1 }).at([...horizons]).incidence;
    const { causes: [first] } = cumulativeIncidence(own, { causes });
    const incidence = first?.at([...horizons]).incidence;
    return horizons.map((years, k): TwoQuantities => ({
      years,
      group,
      incidence: incidence?.[k] ?? NaN,
      naive: naive[k] ?? NaN,
    }));
  });
}
