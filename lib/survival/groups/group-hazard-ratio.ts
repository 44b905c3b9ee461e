import {
  checkDataColumns,
  directionOf,
  FOLLOW_UP,
  type FollowUp,
  type Labels,
  turnedOver,
} from "../../numerics/mod.ts";
import { coxRegression, periodHazardRatios, proportionalHazardsTest } from "../cox/mod.ts";

/** Follow-up of two groups, 1 and 0, with the matched pair (`cluster`) or weight of each row. */
export type TwoGroupFollowUp = FollowUp & { group: ArrayLike<number>; cluster?: Labels };

/** How many times as high the hazard of group 1 is as that of group 0. */
export interface GroupHazardRatio {
  /** "1 / 0", or "0 / 1" where the reference is group 1. */
  direction: string;
  /** exp(coefficient). */
  hazardRatio: number;
  /** Lower limit. */
  lower: number;
  /** Upper limit. */
  upper: number;
  /** Two-sided p value. */
  pValue: number;
  /** Small where one ratio does not do for the whole of follow-up. */
  proportionalP: number;
}

/**
 * The hazard ratio of group 1 against group 0, or against the other way round where `reference` is
 * 1, from a Cox model with the group as its only term.
 *
 * @param options.pairs "kept-together" (the default): everybody is compared and limits are robust
 * to pairing; "compared-within": each pair is a stratum, so that partners are compared
 * and nobody else.
 * @example
 * ```ts
 * import { groupHazardRatio } from "mitral";
 *
 * const data = { time: [1, 2, 3, 4, 5, 6], event: [1, 1, 0, 1, 1, 1], group: [1, 0, 1, 0, 1, 0] };
 * groupHazardRatio(data).hazardRatio < 1; // true
 * ```
 * @throws {DataError} as {@link coxRegression}.
 */
export function groupHazardRatio(
  data: TwoGroupFollowUp,
  options: { pairs?: "kept-together" | "compared-within"; confidence?: number; reference?: 0 | 1 } =
    {},
): GroupHazardRatio {
  checkDataColumns("groupHazardRatio", data, [...FOLLOW_UP, "group", "cluster"]);
  const { pairs = "kept-together", confidence } = options;
  const { over, sign } = directionOf([0, 1], options.reference);
  const { cluster, ...columns } = groupAsCovariate(data);
  const within = pairs === "compared-within" && cluster ? { stratum: cluster } : undefined;
  const fit = coxRegression({ ...columns, ...within ?? (cluster && { cluster }) }, { confidence });
  const [{ hazardRatio, lower, upper, pValue } = missingTerm()] = fit.terms;
  const proportionalP = proportionalHazardsTest(fit).global.pValue;
  return {
    direction: over,
    ...turnedOver({ hazardRatio, lower, upper, pValue }, sign),
    proportionalP,
  };
}

/** The ratio of {@link groupHazardRatio} within each period, and whether the periods differ. */
export interface GroupRatioByPeriod {
  /** As of {@link GroupHazardRatio}. */
  direction: string;
  /** One a period, with its ends. */
  periods: (Omit<GroupHazardRatio, "direction" | "proportionalP"> & { from: number; to: number })[];
  /** p value of the test that all periods have one ratio. */
  equalityP: number;
}

/**
 * The hazard ratio of group 1 against group 0 in each of the periods between the cuts, which must
 * have been fixed before the curves were seen.
 *
 * @throws {DataError} as {@link periodHazardRatios}.
 */
export function groupRatioByPeriod(
  data: TwoGroupFollowUp,
  { cuts, confidence, reference }: { cuts: number[]; confidence?: number; reference?: 0 | 1 },
): GroupRatioByPeriod {
  checkDataColumns("groupRatioByPeriod", data, [...FOLLOW_UP, "group", "cluster"]);
  const { over, sign } = directionOf([0, 1], reference);
  const { periods, equality } = periodHazardRatios(groupAsCovariate(data), {
    covariate: "group",
    cuts,
    confidence,
  });
  return {
    direction: over,
    periods: periods.map(({ from, to, hazardRatio, lower, upper, pValue }) =>
      turnedOver({ from, to, hazardRatio, lower, upper, pValue }, sign)
    ),
    equalityP: equality.pValue,
  };
}

/** Follow-up of two groups as a model takes it, the group its only covariate. */
export function groupAsCovariate({ time, event, entry, weight, cluster, group }: TwoGroupFollowUp) {
  return {
    time,
    event,
    ...(entry && { entry }),
    ...(weight && { weight }),
    ...(cluster && { cluster }),
    covariates: { group: Float64Array.from(group) },
  };
}

function missingTerm(): never {
  throw new Error("unreachable: the model has one term");
}
