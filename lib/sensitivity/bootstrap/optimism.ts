import { checkWhole, DataError, meanOf, SeededRandom } from "../../numerics/mod.ts";
import { resampler, type ResamplingUnits } from "./draws.ts";

/** How good a model looks on its own patients, and how good it can be expected to be on others. */
export interface Optimism {
  /** On the rows it was made from. */
  apparent: number;
  /** By how much a model flatters itself on its own rows, on average. */
  optimism: number;
  /** apparent - optimism. */
  corrected: number;
  /** Replicates that gave a number, and those that did not. */
  replicates: number;
  /** Resamples in which no model could be made. */
  failed: number;
}

/**
 * A measure of a model (area under the curve, calibration slope) corrected for having been taken on
 * the patients the model was made from.
 *
 * In each bootstrap sample the whole model is made anew and measured twice, on that sample and on
 * the patients themselves; the mean difference is the optimism. Put every choice the data made into
 * `make`. Cost: `replicates` + 1 models, each measured twice.
 *
 * @param of.make Makes the model from rows, which come with repetition.
 * @param of.measure Measures a model on rows.
 * @param options.replicates Default 200.
 * @example
 * ```ts ignore
 * import { optimism } from "mitral";
 * optimism(n, { make: modelFrom, measure: areaOf }, { seed: 1 }).corrected;
 * ```
 * @throws {DataError} if the measure of the rows themselves, or of nearly all replicates, is not
 * finite.
 * @see Harrell, Lee & Mark (1996) Stat Med 15:361-387.
 */
export function optimism<Model>(
  units: ResamplingUnits,
  { make, measure }: {
    make: (rows: Int32Array) => Model;
    measure: (model: Model, rows: Int32Array) => number;
  },
  options: { replicates?: number; seed: number },
): Optimism {
  const each = {
    make,
    measure: (model: Model, rows: Int32Array) => ({ measure: measure(model, rows) }),
  };
  return optimismOfEach(units, each, options).measure;
}

/**
 * Several measures of a model corrected as by {@link optimism}, each model made only once.
 *
 * @param of.measure Measures a model on rows: numbers by name, the same names each time.
 * @example
 * ```ts ignore
 * import { optimismOfEach } from "./mod.ts";
 * optimismOfEach(n, { make: modelFrom, measure: areaAndSlopeOf }, { seed: 1 }).slope.corrected;
 * ```
 * @throws {DataError} as `optimism`.
 */
export function optimismOfEach<Model, Name extends string>(
  units: ResamplingUnits,
  { make, measure }: {
    make: (rows: Int32Array) => Model;
    measure: (model: Model, rows: Int32Array) => Record<Name, number>;
  },
  options: { replicates?: number; seed: number },
): Record<Name, Optimism> {
  const replicates = checkWhole("replicates", options.replicates ?? 200, 1);
  const draw = resampler(units, options.seed);
  const n = typeof units === "number" ? units : units.clusters.length;
  const all = Int32Array.from({ length: n }, (_, row) => row);
  const apparent = measure(make(all), all);
  const names = Object.keys(apparent) as Name[];
  for (const name of names) {
    if (!Number.isFinite(apparent[name])) {
      throw new DataError(name, "finite for the rows themselves", apparent[name]);
    }
  }
  const differences = names.map((): number[] => []);
  for (let replicate = 0; replicate < replicates; replicate++) {
    const { rows } = draw(replicate);
    const model = make(rows);
    const there = measure(model, rows);
    const here = measure(model, all);
    names.forEach((name, k) => {
      const difference = there[name] - here[name];
      if (Number.isFinite(difference)) differences[k]!.push(difference);
    });
  }
  return Object.fromEntries(
    names.map((name, k) => [name, corrected(name, apparent[name], differences[k]!, replicates)]),
  ) as Record<Name, Optimism>;
}

function corrected(
  name: string,
  apparent: number,
  differences: number[],
  replicates: number,
): Optimism {
  if (differences.length < replicates / 2) {
    const found = `${differences.length} of ${replicates}`;
    throw new DataError(name, "finite in at least half of the replicates", found);
  }
  const mean = meanOf(differences);
  return {
    apparent,
    optimism: mean,
    corrected: apparent - mean,
    replicates: differences.length,
    failed: replicates - differences.length,
  };
}

/**
 * Predictions for each row by a model made without it: rows are dealt at random into parts of
 * nearly equal size, and each part is predicted by a model made from the others.
 *
 * @param predict Makes the model on the first rows and predicts the second, in their order.
 * @param options.parts Default 10.
 * @example
 * ```ts ignore
 * import { heldOut } from "mitral";
 * heldOut(n, (made, left) => modelFrom(made).riskOf(left), { seed: 1 });
 * ```
 * @throws {DataError} with fewer rows than parts, or predictions of another length.
 * @see Stone (1974) JRSS B 36:111-147.
 */
export function heldOut(
  n: number,
  predict: (made: Int32Array, left: Int32Array) => ArrayLike<number>,
  options: { parts?: number; seed: number },
): Float64Array {
  const parts = checkWhole("parts", options.parts ?? 10, 2);
  if (!(n >= parts)) throw new DataError("n", `at least ${parts} rows, one a part`, n);
  const random = new SeededRandom(options.seed);
  const order = Int32Array.from({ length: n }, (_, row) => row);
  for (let k = n - 1; k > 0; k--) {
    const other = random.integer(k + 1);
    [order[k], order[other]] = [order[other]!, order[k]!];
  }
  const result = new Float64Array(n);
  for (let part = 0; part < parts; part++) {
    const made = order.filter((_, k) => k % parts !== part).sort();
    const left = order.filter((_, k) => k % parts === part).sort();
    const predicted = predict(made, left);
    if (predicted.length !== left.length) {
      throw new DataError("predict", `${left.length} predictions`, predicted.length, part);
    }
    left.forEach((row, k) => result[row] = predicted[k]!);
  }
  return result;
}
