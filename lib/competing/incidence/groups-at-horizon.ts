import {
  type FollowUpColumns,
  followUpColumns,
  type GroupColumn,
  pValueOfLimits,
  squareAndAdd,
} from "../../numerics/mod.ts";
import { aalenJohansen, deltaErrors, incidenceInfluence } from "./aalen-johansen.ts";
import { causesOf, causeTable, rowAt } from "./cause-table.ts";
import { rowsOf, subset, weightAtRisk } from "./cumulative-incidence.ts";
import { type ArmAt, armLimits } from "./arm-limits.ts";

/** One group's incidence at a horizon; NaN past its last observed time. */
export interface GroupAtHorizon extends ArmAt {
  group: string | number;
  standardError: number;
  /** Weight at risk just before the horizon. */
  atRisk: number;
}

/** Several groups' incidence at one horizon, and how their errors go together. */
export interface GroupsAtHorizon {
  /** In label order. */
  groups: GroupAtHorizon[];
  /** Standard error of the sum of the groups' estimates times these coefficients. */
  errorOf(coefficients: readonly number[]): number;
  /** Correlation of two groups' estimates; 0 where no cluster has rows in both. */
  correlationOf(one: number, other: number): number;
}

/**
 * Cumulative incidence of one cause in each of several groups, at any horizon, with what a comparison
 * of them needs.
 *
 * Without weights and clusters each group has its delta-method error, and groups are independent.
 * With them the influences of rows on their own group's estimate are added within a cluster before
 * they are squared, which carries the covariance of groups that share clusters. Cost: O(n log n), and
 * O(n) a horizon.
 */
export function groupsAtHorizon(
  columns: FollowUpColumns,
  group: GroupColumn,
  { cause, cluster }: { cause: number; cluster?: GroupColumn },
): (time: number) => GroupsAtHorizon {
  const { n } = columns;
  const causes = [...new Set([...causesOf(columns.event), cause])].sort((a, b) => a - b);
  const k = causes.indexOf(cause);
  const arms = group.labels.map((label, code) => {
    const rows = rowsOf(group.codes, code);
    const arm = followUpColumns(subset(columns, rows), { causes: true });
    const table = causeTable(arm, causes);
    const estimate = aalenJohansen(table);
    return {
      label,
      rows,
      columns: arm,
      table,
      estimate,
      errors: deltaErrors(table, estimate)[k]!,
      atRisk: weightAtRisk(arm),
      limitsAt: armLimits(arm, cause),
    };
  });
  return (time) => {
    const alone = cluster || columns.weight
      ? undefined
      : arms.map((arm) => arm.errors[rowAt(arm.table.time, time)] ?? 0);
    // what each cluster (each row) adds to the estimate of each group
    const sums = alone ? [] : arms.map(({ columns: arm, table, estimate, rows }) => {
      const total = new Float64Array(cluster ? cluster.labels.length : n);
      const influence = incidenceInfluence(arm, table, estimate, k, time);
      rows.forEach((row, place) =>
        total[cluster ? cluster.codes[row]! : row]! += influence[place]!
      );
      return total;
    });
    const errorOf = (coefficients: readonly number[]) =>
      alone
        ? Math.hypot(...coefficients.map((a, side) => a * alone[side]!))
        : rootSumOfSquares(sums, coefficients);
    const unit = (place: number) => arms.map((_, side) => side === place ? 1 : 0);
    return {
      groups: arms.map((arm, side) => {
        const m = arm.table.time.length;
        const j = rowAt(arm.table.time, time);
        const past = time > arm.table.time[m - 1]! && arm.estimate.eventFree[m - 1]! > 0;
        const estimate = past ? NaN : j < 0 ? 0 : arm.estimate.incidence[k]![j]!;
        const standardError = past ? NaN : errorOf(unit(side));
        return {
          group: arm.label,
          standardError,
          atRisk: arm.atRisk(time),
          ...arm.limitsAt({ time, estimate, standardError }),
        };
      }),
      errorOf,
      correlationOf(one, other) {
        if (alone) return 0;
        const spread = errorOf(unit(one)) * errorOf(unit(other));
        const [first, second] = [sums[one]!, sums[other]!];
        let products = 0;
        for (let c = 0; c < first.length; c++) products += first[c]! * second[c]!;
        return spread > 0 ? products / spread : 0;
      },
    };
  };
}

/** Limits of the difference `to` minus `from`, and their p value, from the limits of both. */
export function limitsBetween(
  from: ArmAt,
  to: ArmAt,
  correlation: number,
): { limits(confidence: number): { lower: number; upper: number }; pValue: number } {
  const limits = (level: number) => {
    const [base, other] = [from, to].map((arm) => {
      const [lower, upper] = arm.limits(level);
      return { estimate: arm.estimate, lower, upper };
    });
    return squareAndAdd(base!, other!, correlation);
  };
  return { limits, pValue: pValueOfLimits(to.estimate - from.estimate, limits) };
}

function rootSumOfSquares(sums: Float64Array[], coefficients: readonly number[]): number {
  let total = 0;
  for (let c = 0; c < sums[0]!.length; c++) {
    let own = 0;
    for (let side = 0; side < sums.length; side++) own += coefficients[side]! * sums[side]![c]!;
    total += own * own;
  }
  return Math.sqrt(total);
}
