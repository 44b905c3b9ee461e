import {
  checkDataColumns,
  checkNumber,
  DataError,
  distributions,
  factorSymmetric,
  FOLLOW_UP,
  type FollowUp,
  followUpColumns,
  groupColumn,
  invertFactored,
  type Labels,
  MANY,
  meanOf,
  mirrorLower,
  multiplySquare,
  type Numbers,
  SeededRandom,
  solveFactored,
  spreadOf,
} from "../../numerics/mod.ts";
import type { PermutationOptions } from "./interaction-test.ts";
import { pseudoValuesOf } from "../incidence/mod.ts";

/** Whether the difference of incidence between two groups changes with a measurement. */
export interface MeasurementInteraction {
  /** By permutation of the measurement within each group; NaN where there are too few events. */
  pValue: number;
  /** Quadratic form of the difference of the groups' slopes. */
  statistic: number;
  /** Events of the cause by that time. */
  events: number;
  /** Whether there are too few events to test. */
  tooFew: boolean;
}

/**
 * Whether the difference of cumulative incidence between two groups, on the scale of proportions,
 * changes with a measurement.
 *
 * Each row of a group is given its pseudo-value of incidence by the horizon: the group's estimate
 * plus what the row itself adds, to first order. Their regression on the columns of the measurement
 * gives slopes in each group; the statistic is the difference of the slopes seen against its own
 * robust covariance. Its distribution comes from giving the measurements of a group to its rows at
 * random, 999 times: exact, however few the events, where the measurement means nothing, and right
 * in large samples also where it means the same in both groups. With fewer than ten events in all
 * (common practice, no source) there is no p value. Of more than 20,000 rows with 1,000 events or
 * more the statistic is read against its large-sample distribution, chi-square, in place of draws.
 *
 * Cost: two curves, and O(n q^2) for each draw.
 *
 * @param columns Of the measurement, without a constant: itself, and its bends if it has some.
 * @throws {DataError} unless there are two groups.
 * @see Andersen, Klein & Rosthoj (2003) Biometrika 90:15-27 (pseudo-values); Chung & Romano (2013)
 * Ann Stat 41:484-507 (permutation of studentised statistics).
 */
export function measurementInteraction(
  data: FollowUp & { group: Labels },
  columns: readonly Numbers[],
  options: { cause: number; time: number } & PermutationOptions,
): MeasurementInteraction {
  checkDataColumns("measurementInteraction", data, [...FOLLOW_UP, "group"]);
  const whole = (v: number) => Number.isInteger(v) && v >= 19;
  const assignments = checkNumber(
    "assignments",
    options.assignments ?? 999,
    whole,
    "a whole number >= 19",
  );
  const { cause, time, seed = 1, fewestEvents = 10 } = options;
  const { codes, labels } = groupColumn("group", data.group, data.time.length);
  if (labels.length !== 2) throw new DataError("group", "two groups", labels.length);
  const groups = labels.map((_, code) => pseudoRows(data, codes, code, columns, { cause, time }));
  const events = groups[0]!.events + groups[1]!.events;
  const statistic = slopeDistance(groups);
  if (events < fewestEvents) return { pValue: NaN, statistic, events, tooFew: true };
  if (data.time.length > MANY && events >= manyEvents) {
    const pValue = distributions.chiSquareUpper(statistic, columns.length);
    return { pValue, statistic, events, tooFew: false };
  }
  const random = new SeededRandom(seed);
  let far = 0;
  for (let k = 0; k < assignments; k++) {
    for (const group of groups) random.shuffle(group.given);
    if (slopeDistance(groups) >= statistic * (1 - 1e-9)) far++;
  }
  return { pValue: (1 + far) / (1 + assignments), statistic, events, tooFew: false };
}

// With many rows and so many events the statistic is chi-square to more digits than are printed.
const manyEvents = 1000;

/** One group's pseudo-values and the measurements that its rows are given. */
interface PseudoRows {
  events: number;
  /** Pseudo-values and weights, one a row. */
  value: Float64Array;
  weight: Float64Array;
  /** The measurement's columns, row after row, from their means over everybody. */
  design: Float64Array;
  columns: number;
  /** Which row's measurement each row is given. */
  given: Int32Array;
}

function pseudoRows(
  data: FollowUp,
  codes: Int32Array,
  code: number,
  columns: readonly Numbers[],
  { cause, time }: { cause: number; time: number },
): PseudoRows {
  const rows = Array.from(codes.keys()).filter((row) => codes[row] === code);
  const pick = (column: Numbers) => Float64Array.from(rows, (row) => column[row]!);
  const follow = followUpColumns({
    time: pick(data.time),
    event: pick(data.event),
    ...(data.entry && { entry: pick(data.entry) }),
    ...(data.weight && { weight: pick(data.weight) }),
  }, { causes: true });
  const weight = follow.weight ?? new Float64Array(rows.length).fill(1);
  const q = columns.length;
  // a scale of about 1 keeps the small systems well conditioned
  const scaled = columns.map((column) => standardized(column));
  const design = new Float64Array(rows.length * q);
  rows.forEach((row, i) => scaled.forEach((column, j) => design[i * q + j] = column[row]!));
  return {
    events: rows.filter((row) => data.event[row] === cause && data.time[row]! <= time).length,
    value: pseudoValuesOf(follow, cause, time).values,
    weight,
    design,
    columns: q,
    given: Int32Array.from(rows, (_, i) => i),
  };
}

function standardized(column: Numbers): Float64Array {
  const values = Float64Array.from(column);
  const [mean, spread] = [meanOf(values), spreadOf(values)];
  return values.map((x) => spread > 0 ? (x - mean) / spread : 0);
}

/** How far the slopes of two groups are apart, seen against the robust covariance of both. */
function slopeDistance(groups: PseudoRows[]): number {
  const [first, second] = groups.map(slopes);
  const q = first!.slope.length;
  const difference = second!.slope.map((value, j) => value - first!.slope[j]!);
  const covariance = second!.covariance.map((value, j) => value + first!.covariance[j]!);
  const solved = solveFactored(factorSymmetric(covariance, q), difference);
  return solved.reduce((sum, value, j) => sum + value * difference[j]!, 0);
}

/** Weighted least squares of pseudo-values on the measurement, with its sandwich covariance. */
function slopes(rows: PseudoRows): { slope: Float64Array; covariance: Float64Array } {
  const { value, weight, design, columns, given } = rows;
  const q = columns + 1;
  const n = value.length;
  const cross = new Float64Array(q * q);
  const right = new Float64Array(q);
  const z = new Float64Array(q);
  z[0] = 1;
  for (let i = 0; i < n; i++) {
    for (let j = 1; j < q; j++) z[j] = design[given[i]! * columns + j - 1]!;
    for (let j = 0; j < q; j++) {
      const wz = weight[i]! * z[j]!;
      right[j]! += wz * value[i]!;
      for (let k = 0; k <= j; k++) cross[j * q + k]! += wz * z[k]!;
    }
  }
  mirrorLower(cross, q);
  const factor = factorSymmetric(cross, q);
  const beta = solveFactored(factor, right);
  const meat = new Float64Array(q * q);
  for (let i = 0; i < n; i++) {
    let fitted = beta[0]!;
    for (let j = 1; j < q; j++) {
      z[j] = design[given[i]! * columns + j - 1]!;
      fitted += beta[j]! * z[j]!;
    }
    const residual = weight[i]! * (value[i]! - fitted);
    const square = residual * residual;
    for (let j = 0; j < q; j++) {
      for (let k = 0; k <= j; k++) meat[j * q + k]! += square * z[j]! * z[k]!;
    }
  }
  mirrorLower(meat, q);
  const bread = invertFactored(factor);
  const whole = multiplySquare(multiplySquare(bread, meat, q), bread, q);
  const covariance = new Float64Array(columns * columns);
  for (let j = 0; j < columns; j++) {
    for (let k = 0; k < columns; k++) covariance[j * columns + k] = whole[(j + 1) * q + k + 1]!;
  }
  return { slope: beta.slice(1), covariance };
}
