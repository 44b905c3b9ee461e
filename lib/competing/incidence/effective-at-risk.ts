import { type FollowUp, followUpColumns, groupColumn, type Labels } from "../../numerics/mod.ts";
import { rowsOf, subset, weightAtRisk } from "./cumulative-incidence.ts";

/**
 * Of each group the effective number at risk just before a time: how many patients of equal weight
 * would tell as much as those still at risk do under their weights, (sum w)^2 / sum w^2.
 *
 * A sum of weights can be larger than the number of patients; this never is, so it is what may
 * stand under a weighted curve.
 *
 * @returns By the group's label; undefined where there are no weights, and counts say it all.
 * @see Kish (1965) Survey Sampling, section 11.7 (the effective sample size).
 */
export function effectiveAtRisk(
  data: FollowUp & { group: Labels },
): ((group: string | number, time: number) => number) | undefined {
  if (!data.weight) return undefined;
  const columns = followUpColumns(data, { causes: true });
  const { codes, labels } = groupColumn("group", data.group, columns.n);
  const numbers = new Map(labels.map((label, code) => {
    const own = subset(columns, rowsOf(codes, code));
    const sum = weightAtRisk(followUpColumns(own, { causes: true }));
    const squares = Float64Array.from(own.weight ?? [], (w) => w * w);
    const ofSquares = weightAtRisk(followUpColumns({ ...own, weight: squares }, { causes: true }));
    return [label, (time: number) => sum(time) > 0 ? sum(time) ** 2 / ofSquares(time) : 0];
  }));
  return (group, time) => numbers.get(group)?.(time) ?? 0;
}

/** Contrasts at horizons with the effective numbers of their groups, where there are weights. */
export function withEffectiveNumbers<
  Contrast extends { time: number; groups: readonly { group: string | number }[] },
>(contrasts: readonly Contrast[], effective: ReturnType<typeof effectiveAtRisk>): Contrast[] {
  if (!effective) return [...contrasts];
  return contrasts.map((contrast) => ({
    ...contrast,
    groups: contrast.groups.map((one) => ({
      ...one,
      effectiveAtRisk: effective(one.group, contrast.time),
    })),
  }));
}

/**
 * Puts the effective number at each of its times to a group's curve, where there are weights. To
 * the curve itself: a copy would work out what nobody may ask it for.
 */
export function putEffectiveNumbers<Curve extends { time: Float64Array }>(
  curve: Curve,
  group: string | number,
  effective: ReturnType<typeof effectiveAtRisk>,
): Curve & { effectiveAtRisk?: Float64Array } {
  if (!effective) return curve;
  return Object.assign(curve, {
    effectiveAtRisk: curve.time.map((time) => effective(group, time)),
  });
}
