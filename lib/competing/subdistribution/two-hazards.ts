import { checkDataColumns, directionOf, FOLLOW_UP, turnedOver } from "../../numerics/mod.ts";
import { coxRegression, proportionalHazardsTest } from "../../survival/cox/mod.ts";
import {
  groupAsCovariate,
  type GroupHazardRatio,
  type TwoGroupFollowUp,
} from "../../survival/groups/mod.ts";
import { causeSpecific } from "../incidence/mod.ts";
import { subdistributionProportionality } from "./proportionality.ts";
import { subdistributionRegression } from "./subdistribution-regression.ts";

/** A hazard ratio of one group against another, and whether one ratio will do. */
export interface ConstantRatio extends GroupHazardRatio {
  /** Which of the two hazards. */
  kind: "cause-specific" | "subdistribution";
}

/**
 * The two hazard ratios of a competing event, group 1 against group 0 (or the other way round,
 * where `reference` is 1), with the group as their only term; none where only one group has
 * such an event.
 * The cause-specific ratio compares the rates among those still free of every event; the
 * subdistribution ratio compares how fast the share with this event grows among all.
 *
 * @param data `group` is 1 or 0; with `cluster` or `weight`, limits are robust.
 * @example
 * ```ts
 * import { twoHazardRatios } from "mitral";
 * const time = [1, 2, 2.5, 3, 4, 5, 5.5, 6, 7, 8, 9, 10];
 * const event = [1, 0, 2, 1, 0, 1, 0, 2, 0, 1, 0, 0];
 * const group = [0, 1, 0, 1, 1, 0, 0, 1, 0, 1, 0, 1];
 * twoHazardRatios({ time, event, group }, { cause: 1 }).map(({ hazardRatio }) => hazardRatio);
 * ```
 * @throws {DataError} as `coxRegression` and `subdistributionRegression`, such as without an event.
 */
export function twoHazardRatios(
  data: TwoGroupFollowUp,
  { cause, confidence, reference }: { cause: number; confidence?: number; reference?: 0 | 1 },
): ConstantRatio[] {
  checkDataColumns("twoHazardRatios", data, [...FOLLOW_UP, "group", "cluster"]);
  const { over: direction, sign } = directionOf([0, 1], reference);
  const { group } = data;
  const columns = groupAsCovariate(data);
  const seen = new Set(Array.from(data.event).flatMap((one, i) => one === cause ? [group[i]] : []));
  // with events in one group alone the ratio is 0 or infinite, and has no limits and no test
  if (seen.size === 1) return [];
  const own = coxRegression(causeSpecific(columns, cause), { confidence });
  const share = subdistributionRegression(columns, { cause, confidence });
  const ratioOf = (
    kind: ConstantRatio["kind"],
    { terms }: Pick<typeof own, "terms">,
    proportionalP: number,
  ): ConstantRatio[] =>
    terms.slice(0, 1).map(({ hazardRatio, lower, upper, pValue }) => (
      turnedOver({ kind, direction, hazardRatio, lower, upper, pValue, proportionalP }, sign)
    ));
  return [
    ...ratioOf("cause-specific", own, proportionalHazardsTest(own).global.pValue),
    ...ratioOf("subdistribution", share, subdistributionProportionality(share).global.pValue),
  ];
}
