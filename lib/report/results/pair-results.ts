import type { DesignedFollowUp } from "../../balance/samples/mod.ts";
import {
  type RestrictedMeanDifference,
  restrictedMeanDifference,
} from "../../survival/curve/mod.ts";
import { type GroupHazardRatio, groupHazardRatio } from "../../survival/groups/mod.ts";

/** The hazard ratio in pairs, kept together and compared within; none without pairs, or events in them. */
export function pairRatios(
  paired: DesignedFollowUp | null,
  { whom, confidence }: { whom: string; confidence: number },
): { design: string; whom: string; found: GroupHazardRatio }[] {
  if (!paired?.event.includes(1)) return [];
  const within = groupHazardRatio(paired, { pairs: "compared-within", confidence });
  return [
    { design: "Pairs kept together", whom, found: groupHazardRatio(paired, { confidence }) },
    { design: "Pairs as strata", whom, found: within },
  ];
}

/**
 * Mean time alive in pairs within a horizon; null where there are no pairs, or nobody matched in one
 * of the groups was followed so long.
 */
export function yearsOfPairs(
  paired: DesignedFollowUp | null,
  options: { horizon: number; confidence: number },
): RestrictedMeanDifference | null {
  if (!paired) return null;
  const reached = [0, 1].every((arm) =>
    paired.time.some((years, i) => paired.group[i] === arm && years >= options.horizon)
  );
  return reached ? restrictedMeanDifference(paired, options) : null;
}
