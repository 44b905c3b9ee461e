import {
  binaryColumn,
  checkDataColumns,
  checkNumber,
  covariateColumns,
  DataError,
  type Numbers,
} from "../../numerics/mod.ts";
import { logisticRegression } from "../../regression/models/mod.ts";
import { proportionInterval } from "../../regression/rates/mod.ts";
import { riskLimits, rocCurve } from "../../regression/prediction/mod.ts";
import { ridgeLogistic } from "./ridge-logistic.ts";

/** One thing that makes an operation hard, and what it counts. */
export interface ScoreItem {
  /** Name as the data have it. */
  name: string;
  /** Log odds for one more unit, penalised. */
  coefficient: number;
  /** Whole points for one more unit. */
  points: number;
  /** Rows in which it is not 0. */
  n: number;
}

/** Rows of one total, and the risk it stands for. */
export interface ScoreRow {
  /** Points of the patients in the row. */
  points: number;
  /** Rows. */
  n: number;
  /** Rows with the event, not weighted. */
  events: number;
  /** Share with the event, with Wilson limits. */
  observed: { estimate: number; lower: number; upper: number };
  /** Risk by the total. */
  risk: { estimate: number; lower: number; upper: number };
}

/** A score that a person can add up. */
export interface ComplexityScore {
  /** What gives points. */
  items: ScoreItem[];
  /** Total of each row. */
  points: Int32Array;
  /** Patients and events by points. */
  table: ScoreRow[];
  /** How strongly coefficients were shrunk. */
  penalty: number;
  /** Area under the curve of the points, on these rows: it flatters. */
  area: number;
  /** Totals of other rows with the same items. */
  pointsOf(items: Record<string, Numbers>): Int32Array;
  /** Risk that a total stands for. */
  riskOf(points: Numbers): Float64Array;
}

/**
 * A complexity score from the group's own operations: how likely an attempt is to end as something
 * else (replacement, conversion), as whole points that a person can add up.
 *
 * A logistic model with a quadratic penalty (its size chosen by an information criterion) gives
 * each item its log odds; the largest is given `most` points and the others in proportion, rounded.
 * A second model, of the totals alone, gives the risk of each total. A score that has been made
 * from rows flatters itself on them: see `optimism` and `heldOut`. Cost: some 15 logistic models.
 *
 * @example
 * ```ts ignore
 * import { complexityScore } from "mitral";
 *
 * const { items } = complexityScore({ outcome: replaced, items: { anterior, redo, tethered } });
 * ```
 * @param data.outcome 0 or 1, both present.
 * @param data.items Columns of 0 and 1, or counts of steps; known before the operation.
 * @param options.most Points of the item with the largest coefficient, 5.
 * @throws {DataError}
 * @see Sullivan, Massaro & D'Agostino (2004) Stat Med 23:1631-1660.
 */
export function complexityScore(
  data: { outcome: Numbers; items: Record<string, Numbers> },
  options: { most?: number; confidence?: number } = {},
): ComplexityScore {
  checkDataColumns("complexityScore", data, ["outcome", "items"]);
  const most = checkNumber(
    "most",
    options.most ?? 5,
    (m) => Number.isInteger(m) && m >= 1 && m <= 100,
    "a whole number from 1 to 100",
  );
  const level = options.confidence === undefined ? {} : { confidence: options.confidence };
  const outcome = binaryColumn("outcome", data.outcome);
  const n = outcome.length;
  const events = outcome.reduce((sum, y) => sum + y, 0);
  if (events === 0 || events === n) {
    throw new DataError("outcome", "0 in some rows and 1 in others", outcome[0], 0);
  }
  const { names, columns } = covariateColumns(data.items, n);
  const { coefficients, penalty } = ridgeLogistic(outcome, columns);
  const largest = coefficients.subarray(1).reduce((top, b) => Math.max(top, Math.abs(b)), 0);
  const items = names.map((name, j): ScoreItem => {
    const coefficient = coefficients[j + 1]!;
    return {
      name,
      coefficient,
      // 0 instead of -0
      points: largest > 0 ? Math.round(most * coefficient / largest) || 0 : 0,
      n: columns[j]!.reduce((count, x) => count + (x === 0 ? 0 : 1), 0),
    };
  });
  const totals = (of: readonly Float64Array[], length: number) => {
    const sum = new Float64Array(length);
    items.forEach(({ points }, j) => {
      const column = of[j]!;
      if (points !== 0) { for (let i = 0; i < length; i++) sum[i]! += points * column[i]!; }
    });
    return Int32Array.from(sum, Math.round);
  };
  const points = totals(columns, n);
  const varies = points.some((total) => total !== points[0]);
  const byTotal = varies
    ? logisticRegression({ outcome, covariates: { points: Float64Array.from(points) } }, level)
    : undefined;
  const tally = new Map<number, { count: number; found: number }>();
  for (let i = 0; i < n; i++) {
    const one = tally.get(points[i]!);
    if (one) {
      one.count++;
      one.found += outcome[i]!;
    } else tally.set(points[i]!, { count: 1, found: outcome[i]! });
  }
  const kinds = [...tally.keys()].sort((a, b) => a - b);
  const limits = byTotal && riskLimits(byTotal, { points: kinds }, level);
  return {
    items,
    points,
    penalty,
    area: varies ? rocCurve({ outcome, score: points }).area.estimate : 0.5,
    table: kinds.map((total, k) => {
      const { count, found } = tally.get(total)!;
      const observed = proportionInterval(found, count, level);
      const risk = limits
        ? { estimate: limits.estimate[k]!, lower: limits.lower[k]!, upper: limits.upper[k]! }
        : observed;
      return { points: total, n: count, events: found, observed, risk };
    }),
    pointsOf(given) {
      const length = Object.values(given)[0]?.length ?? 0;
      for (const name of names) {
        if (!given[name]) throw new DataError(`items.${name}`, "a column (the score uses it)");
      }
      const ordered = Object.fromEntries(names.map((name) => [name, given[name]!]));
      return totals(covariateColumns(ordered, length).columns, length);
    },
    riskOf: (given) =>
      byTotal
        ? byTotal.probabilityFor({ points: given })
        : Float64Array.from(given, () => events / n),
  };
}
