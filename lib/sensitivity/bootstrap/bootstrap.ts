import {
  checkConfidence,
  checkNumber,
  DataError,
  groupColumn,
  type Labels,
  quantileOfSorted,
  SeededRandom,
} from "../../numerics/mod.ts";

/** What to resample: so many rows, or whole clusters of rows (matched sets, surgeons). */
export type ResamplingUnits = number | { clusters: Labels };

/** A bootstrap's result. */
export interface Bootstrap {
  /** The statistic of the rows themselves. */
  estimate: number;
  /** Standard deviation of the replicates. */
  standardError: number;
  /** Percentile limits. */
  lower: number;
  upper: number;
  /** Basic limits: the percentile ones mirrored at the estimate. */
  basic: { lower: number; upper: number };
  /** Mean of the replicates less the estimate. */
  bias: number;
  /** The replicates that gave a finite value, in order. */
  replicates: Float64Array;
  /** Replicates whose statistic was not finite; left out, and never many in a good analysis. */
  failed: number;
}

/**
 * A function that draws the rows of any one replicate. Replicate r depends on the seed and r alone:
 * replicates may be made anywhere, in any order, by any number of workers.
 *
 * Rows come with repetition; `unit` numbers the drawn units 0, 1, ... so that a cluster drawn twice
 * counts as two.
 *
 * @throws {DataError}
 */
export function resampler(
  units: ResamplingUnits,
  seed: number,
): (replicate: number) => { rows: Int32Array; unit: Int32Array } {
  const random = new SeededRandom(seed);
  if (typeof units === "number") {
    const n = checkNumber(
      "units",
      units,
      (v) => Number.isInteger(v) && v >= 1,
      "a whole number >= 1",
    );
    const unit = Int32Array.from({ length: n }, (_, i) => i);
    return (replicate) => {
      const stream = random.fork(replicate);
      return { rows: Int32Array.from({ length: n }, () => stream.integer(n)), unit: unit.slice() };
    };
  }
  const { codes, labels } = groupColumn("clusters", units.clusters);
  if (codes.length === 0) throw new DataError("clusters", "at least one row", units.clusters);
  const members: number[][] = labels.map(() => []);
  codes.forEach((code, row) => members[code]!.push(row));
  return (replicate) => {
    const stream = random.fork(replicate);
    const rows: number[] = [];
    const unit: number[] = [];
    for (let k = 0; k < members.length; k++) {
      for (const row of members[stream.integer(members.length)]!) {
        rows.push(row);
        unit.push(k);
      }
    }
    return { rows: Int32Array.from(rows), unit: Int32Array.from(unit) };
  };
}

/**
 * Bootstrap limits of any statistic of rows.
 *
 * Put the whole procedure into the statistic: a propensity score must be estimated, and patients
 * matched, anew in each replicate. Matched pairs taken as given are resampled as clusters. Matching
 * with replacement is not smooth enough for the bootstrap. Cost: `replicates` times the statistic.
 *
 * @example
 * ```ts
 * const x = [1, 2, 3, 4, 5];
 * const mean = (rows: Int32Array) => rows.reduce((sum, row) => sum + x[row]!, 0) / rows.length;
 * bootstrap(x.length, mean, { seed: 1 }).standardError; // about 0.63
 * ```
 * @param units How many rows, or the cluster of each row.
 * @param statistic Of rows, given with repetition; `unit` tells repeated units apart.
 * @throws {DataError} if the statistic of the rows themselves, or of nearly all replicates, is not
 * finite.
 * @see Efron & Tibshirani (1993) An Introduction to the Bootstrap; basic limits: Davison & Hinkley
 * (1997) Bootstrap Methods, section 5.2; in matched pairs: Austin & Small (2014) Stat Med
 * 33:4306-4319.
 */
export function bootstrap(
  units: ResamplingUnits,
  statistic: (rows: Int32Array, unit: Int32Array) => number,
  options: { seed: number; replicates?: number; confidence?: number },
): Bootstrap {
  const { tail, wanted } = bootstrapPlan(options);
  const draw = resampler(units, options.seed);
  const own = rowsThemselves(units);
  const estimate = statistic(own.rows, own.unit);
  const values = new Float64Array(wanted);
  for (let r = 0; r < wanted; r++) {
    const { rows, unit } = draw(r);
    values[r] = statistic(rows, unit);
  }
  return summariseReplicates(estimate, values, tail);
}

/** @throws {DataError} */
export function bootstrapPlan(options: { replicates?: number; confidence?: number }) {
  return {
    tail: (1 - checkConfidence(options.confidence)) / 2,
    wanted: checkNumber(
      "replicates",
      options.replicates ?? 1000,
      (v) => Number.isInteger(v) && v >= 20,
      "a whole number >= 20",
    ),
  };
}

/** The sample as it is, in the form of a draw. */
export function rowsThemselves(units: ResamplingUnits): { rows: Int32Array; unit: Int32Array } {
  const n = typeof units === "number" ? units : units.clusters.length;
  const rows = Int32Array.from({ length: n }, (_, i) => i);
  const unit = typeof units === "number"
    ? rows.slice()
    : groupColumn("clusters", units.clusters).codes;
  return { rows, unit };
}

/**
 * What replicates say of an estimate; those that are not finite are counted and left out.
 *
 * @throws {DataError} if the estimate, or half of the replicates, are not finite.
 */
export function summariseReplicates(
  estimate: number,
  values: Float64Array,
  tail: number,
): Bootstrap {
  if (!Number.isFinite(estimate)) {
    throw new DataError("statistic", "finite for the rows themselves", estimate);
  }
  const replicates = values.filter(Number.isFinite);
  const count = replicates.length;
  if (count < values.length / 2) {
    throw new DataError("statistic", "finite in most replicates", `${count} of ${values.length}`);
  }
  let mean = 0;
  for (const value of replicates) mean += value / count;
  let squares = 0;
  for (const value of replicates) squares += (value - mean) ** 2;
  const sorted = replicates.slice().sort();
  const lower = quantileOfSorted(sorted, tail);
  const upper = quantileOfSorted(sorted, 1 - tail);
  return {
    estimate,
    standardError: Math.sqrt(squares / (count - 1)),
    lower,
    upper,
    basic: { lower: 2 * estimate - upper, upper: 2 * estimate - lower },
    bias: mean - estimate,
    replicates,
    failed: values.length - count,
  };
}
