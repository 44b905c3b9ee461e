import {
  binaryColumn,
  checkConfidence,
  DataError,
  directionOf,
  distributions,
  type FollowUp,
  type FollowUpColumns,
  followUpColumns,
  type Interval,
  numberColumn,
  type Numbers,
  turned,
} from "../../numerics/mod.ts";
import { fillLimits } from "../curve/mod.ts";

/**
 * Survival at one horizon, had everyone been in the one group and had everyone been in the other.
 */
export interface StandardizedContrast {
  /** The time asked about, in the unit given. */
  time: number;
  /** "1 - 0", or "0 - 1" where the reference is group 1. */
  direction: string;
  /** Group 0, then group 1; limits log-log. `atRisk` counts rows of the group. */
  groups: (Interval & { group: 0 | 1; atRisk: number })[];
  /** Along the direction; limits plain, p value of no difference. */
  difference: Interval & { pValue: number };
}

/** What {@link StandardizedContrast} is worked out from. */
export interface StandardizedData extends Pick<FollowUp, "time" | "event"> {
  /** 0 or 1, both present. */
  treated: Numbers;
  /** Named columns, each finite; may be empty. */
  covariates: Record<string, Numbers>;
}

/** The columns checked, and the rows of either group. */
export interface StandardizedColumns {
  follow: FollowUpColumns;
  treated: Uint8Array;
  covariates: Map<string, Float64Array>;
  /** Rows of group 0 and of group 1. */
  rows: readonly [Int32Array, Int32Array];
}

/** @throws {DataError} on bad columns, or where a group is empty. */
export function standardizedColumns(data: StandardizedData): StandardizedColumns {
  // no entry, no weights: what is not read must not be given
  const { time, event } = data;
  const follow = followUpColumns({ time, event });
  const treated = binaryColumn("treated", data.treated, follow.n);
  const covariates = new Map(
    Object.entries(data.covariates).map(([name, values]) =>
      [name, numberColumn(`covariates.${name}`, values, { length: follow.n })] as const
    ),
  );
  const rowsOf = (code: 0 | 1) => {
    const rows: number[] = [];
    treated.forEach((value, row) => {
      if (value === code) rows.push(row);
    });
    return Int32Array.from(rows);
  };
  const rows = [rowsOf(0), rowsOf(1)] as const;
  if (rows[0].length === 0 || rows[1].length === 0) {
    throw new DataError("treated", "1 in some rows and 0 in others", data.treated);
  }
  return { follow, treated, covariates, rows };
}

/** A group's survival at one horizon, with each row's influence on it. */
export interface Influenced {
  estimate: number;
  influence: Float64Array;
}

/** Rows of the group still under observation at a time. */
export function atRiskAt({ time }: FollowUpColumns, rows: Int32Array, t: number): number {
  let count = 0;
  for (const row of rows) if (time[row]! >= t) count++;
  return count;
}

/** Whether anybody of the group was observed up to a time. */
export function isKnownAt({ time }: FollowUpColumns, rows: Int32Array, t: number): boolean {
  return rows.some((row) => time[row]! >= t);
}

/** Intervals of both groups and their difference, the influences squared and added. */
export function contrastOf(
  { follow, rows }: StandardizedColumns,
  time: number,
  groups: readonly [Influenced, Influenced],
  { confidence, reference }: { confidence?: number; reference?: 0 | 1 },
): StandardizedContrast {
  const { direction, sign } = directionOf([0, 1], reference);
  const z = distributions.normalUpperQuantile((1 - checkConfidence(confidence)) / 2);
  const [zero, one] = groups;
  const difference = one.estimate - zero.estimate;
  const error = rootOfSquares(one.influence.map((value, row) => value - zero.influence[row]!));
  return {
    time,
    direction,
    groups: groups.map(({ estimate, influence }, code) => {
      const standardError = rootOfSquares(influence);
      return {
        group: code as 0 | 1,
        estimate,
        standardError,
        ...limitsOf(estimate, standardError, z),
        atRisk: atRiskAt(follow, rows[code as 0 | 1], time),
      };
    }),
    difference: turned({
      estimate: difference,
      standardError: error,
      lower: difference - z * error,
      upper: difference + z * error,
      pValue: error > 0 ? distributions.normalTwoSided(difference / error) : NaN,
    }, sign),
  };
}

function rootOfSquares(values: Float64Array): number {
  let squares = 0;
  for (const value of values) squares += value * value;
  return Math.sqrt(squares);
}

/** Log-log; plain, cut to [0, 1], where an estimate not bound to [0, 1] has no logarithm of one. */
function limitsOf(estimate: number, standardError: number, z: number) {
  const inside = estimate > 0 && estimate < 1;
  const [s, e] = [Float64Array.of(estimate), Float64Array.of(standardError)];
  const [lower, upper] = [new Float64Array(1), new Float64Array(1)];
  if (inside || standardError === 0) fillLimits(s, e, "log-log", z, lower, upper);
  else {
    lower[0] = Math.min(1, Math.max(0, estimate - z * standardError));
    upper[0] = Math.min(1, Math.max(0, estimate + z * standardError));
  }
  return { lower: lower[0]!, upper: upper[0]! };
}
