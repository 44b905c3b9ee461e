import type { DesignedFollowUp } from "../../balance/samples/mod.ts";
import { pooledHazardRatio, pooledRestrictedMean } from "../../missing/study/mod.ts";
import type { RestrictedMeanDifference } from "../../survival/curve/mod.ts";
import type { GroupHazardRatio } from "../../survival/groups/mod.ts";

/**
 * The hazard ratio in pairs, kept together and compared within; none without pairs, or
 * events in them.
 */
export function pairRatios(
  paired: DesignedFollowUp | null,
  { whom, confidence }: { whom: string; confidence: number },
): { design: string; whom: string; found: GroupHazardRatio }[] {
  if (!paired?.event.includes(1)) return [];
  const within = pooledHazardRatio(paired, { pairs: "compared-within", confidence });
  return [
    { design: "Pairs kept together", whom, found: pooledHazardRatio(paired, { confidence }) },
    { design: "Pairs as strata", whom, found: within },
  ];
}

/**
 * Mean time alive in pairs within a horizon; null where there are no pairs, or nobody matched in
 * one of the groups was followed so long.
 */
export function yearsOfPairs(
  paired: DesignedFollowUp | null,
  options: { horizon: number; confidence: number },
): RestrictedMeanDifference | null {
  if (!paired) return null;
  const reached = [paired, ...paired.inSets ?? []].every(({ time, group }) =>
    [0, 1].every((arm) => time.some((years, i) => group[i] === arm && years >= options.horizon))
  );
  return reached ? pooledRestrictedMean(paired, options) : null;
}
