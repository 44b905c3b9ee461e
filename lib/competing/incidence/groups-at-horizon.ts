import {
  dot,
  type FollowUpColumns,
  followUpColumns,
  type GroupColumn,
  pValueOfLimits,
  squareAndAdd,
} from "../../numerics/mod.ts";
import {
  type AalenJohansen,
  aalenJohansen,
  deltaErrors,
  incidenceInfluence,
  jackknifeErrors,
} from "./aalen-johansen.ts";
import { causesOf, type CauseTable, causeTable, rowAt } from "./cause-table.ts";
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
 * Cumulative incidence of one cause in each of several groups, at any horizon, with what a
 * comparison of them needs.
 *
 * Without weights and clusters each group has its delta-method error, and groups are independent.
 * Under weights the errors are those of the infinitesimal jackknife. With clusters the influences
 * of rows on their own group's estimate are added within a cluster before they are squared, which
 * carries the covariance of groups that share clusters. Cost: O(n log n), and with clusters
 * O(n) a horizon.
 */
export function groupsAtHorizon(
  columns: FollowUpColumns,
  group: GroupColumn,
  { cause, cluster }: { cause: number; cluster?: GroupColumn },
): (time: number) => GroupsAtHorizon {
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
      // under weights each row is a unit of its own
      errors: columns.weight
        ? flat(jackknifeErrors(arm, table, estimate)[k]!, table)
        : deltaErrors(table, estimate)[k]!,
      atRisk: weightAtRisk(arm),
      limitsAt: armLimits(arm, cause),
    };
  });
  return (time) => {
    const { errorOf, correlationOf } = cluster
      ? togetherAt(arms.map((arm) => ({ ...arm, k })), cluster, time)
      : apart(arms.map(({ errors, table }) => errors[rowAt(table.time, time)] ?? 0));
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
      correlationOf,
    };
  };
}

/** Errors move at events alone; rounding is kept from moving them in between. */
function flat(errors: Float64Array, { rowsFailing }: CauseTable): Float64Array {
  for (let j = 1; j < errors.length; j++) if (rowsFailing[j] === 0) errors[j] = errors[j - 1]!;
  return errors;
}

type Errors = Pick<GroupsAtHorizon, "errorOf" | "correlationOf">;

/** Groups that share no patient, each with its own error. */
function apart(errors: readonly number[]): Errors {
  return {
    errorOf: (coefficients) => Math.hypot(...coefficients.map((a, side) => a * errors[side]!)),
    correlationOf: () => 0,
  };
}

interface ArmInfluence {
  rows: ArrayLike<number>;
  columns: FollowUpColumns;
  table: CauseTable;
  estimate: AalenJohansen;
  k: number;
}

/**
 * Groups that may share clusters: what each cluster adds to the estimate of each, multiplied out.
 */
function togetherAt(arms: readonly ArmInfluence[], cluster: GroupColumn, time: number): Errors {
  const products = productsAt(arms, cluster, time);
  const errorOf = (coefficients: readonly number[]) => {
    let total = 0;
    coefficients.forEach((a, one) =>
      coefficients.forEach((b, other) => total += a * b * products[one]![other]!)
    );
    return Math.sqrt(Math.max(0, total));
  };
  return {
    errorOf,
    correlationOf(one, other) {
      const spread = Math.sqrt(products[one]![one]! * products[other]![other]!);
      return spread > 0 ? products[one]![other]! / spread : 0;
    },
  };
}

/** A function of its own: what is kept of a time must not hold on to a number for each cluster. */
function productsAt(
  arms: readonly ArmInfluence[],
  { codes, labels }: GroupColumn,
  time: number,
): number[][] {
  const sums = arms.map(({ columns, table, estimate, rows, k }) => {
    const total = new Float64Array(labels.length);
    const influence = incidenceInfluence(columns, table, estimate, k, time);
    for (let place = 0; place < influence.length; place++) {
      total[codes[rows[place]!]!]! += influence[place]!;
    }
    return total;
  });
  return sums.map((one) => sums.map((other) => dot(one, other)));
}

/** Limits of the difference `to` minus `from`, and their p value, from the limits of both. */
export function limitsBetween(
  from: Pick<ArmAt, "estimate" | "limits">,
  to: Pick<ArmAt, "estimate" | "limits">,
  correlation: number,
): { limits(confidence: number): { lower: number; upper: number }; pValue: number } {
  const limits = (level: number) => {
    const [base, other] = [from, to].map((arm) => {
      const [lower, upper] = arm.limits(level);
      return { estimate: arm.estimate, lower, upper };
    });
    return squareAndAdd(base!, other!, correlation);
  };
  let found: number | undefined;
  return {
    limits,
    // sought when asked for: of completed sets nobody does
    get pValue() {
      return found ??= pValueOfLimits(to.estimate - from.estimate, limits);
    },
  };
}
