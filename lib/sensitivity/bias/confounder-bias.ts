import { checkNumber, DataError } from "../../numerics/mod.ts";

/** A ratio and one unmeasured yes/no confounder. */
export interface ConfounderPlan {
  /** The ratio as estimated, first group over second. */
  ratio: number;
  /** Its limits. */
  lower?: number;
  /** Upper limit. */
  upper?: number;
  /** By how much the confounder multiplies the outcome, alike in both groups. */
  outcomeRatio: number;
  /** Share of each group with the confounder. */
  prevalence: [first: number, second: number];
}

/**
 * What a ratio would be, had one unmeasured yes/no confounder been allowed for: the ratio over the
 * bias factor (1 + (g - 1) p1) / (1 + (g - 1) p2), g the confounder's own ratio.
 *
 * Exact for risk and rate ratios; near enough for odds and hazard ratios of a rare outcome. The
 * confounder's numbers are suppositions and add nothing to the width of the limits.
 *
 * @example Frailty in 10 of 100 repaired and 40 of 100 replaced, doubling the deaths
 * ```ts
 * import { confounderBias } from "mitral";
 * confounderBias({ ratio: 0.72, outcomeRatio: 2, prevalence: [0.1, 0.4] }).ratio; // 0.916
 * ```
 * @throws {DataError}
 * @see Schlesselman (1978) Am J Epidemiol 108:3-8; Lin, Psaty & Kronmal (1998) Biometrics
 * 54:948-963.
 */
export function confounderBias(
  plan: ConfounderPlan,
): { biasFactor: number; ratio: number; lower?: number; upper?: number } {
  const above = (name: string, value: number) =>
    checkNumber(name, value, (v) => v > 0 && v < Infinity, "a finite number > 0");
  const ratio = above("ratio", plan.ratio);
  const outcomeRatio = above("outcomeRatio", plan.outcomeRatio);
  const lower = plan.lower === undefined ? undefined : above("lower", plan.lower);
  const upper = plan.upper === undefined ? undefined : above("upper", plan.upper);
  if (lower !== undefined && lower > ratio) {
    throw new DataError("lower", `at most the ratio ${ratio}`, lower);
  }
  if (upper !== undefined && upper < ratio) {
    throw new DataError("upper", `at least the ratio ${ratio}`, upper);
  }
  if (plan.prevalence?.length !== 2) {
    throw new DataError("prevalence", "two shares, one a group", plan.prevalence);
  }
  const [first, second] = plan.prevalence.map((share, side) => {
    if (!(share >= 0 && share <= 1)) {
      throw new DataError("prevalence", "a share from 0 to 1", share, side);
    }
    return 1 + (outcomeRatio - 1) * share;
  });
  const biasFactor = first! / second!;
  return {
    biasFactor,
    ratio: ratio / biasFactor,
    ...(lower === undefined ? {} : { lower: lower / biasFactor }),
    ...(upper === undefined ? {} : { upper: upper / biasFactor }),
  };
}
