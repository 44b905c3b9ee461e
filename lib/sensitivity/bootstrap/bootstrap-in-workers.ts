import { checkNumber, inWorkers } from "../../numerics/mod.ts";
import { bootstrapPlan } from "./bootstrap.ts";
import { drawer, type ResamplingUnits, rowsThemselves } from "./draws.ts";
import { type Bootstrap, type ChosenLimits, summariseReplicates } from "./summary.ts";
import {
  type PortableStatistic,
  type ReplicateSetup,
  replicatesOf,
  type ReplicateTask,
  statisticOf,
} from "./replicates.ts";

/** How to share out a bootstrap. */
export interface WorkerOptions {
  /** Where the random numbers begin: the same seed gives the same result. */
  seed: number;
  /** Default 1000. */
  replicates?: number;
  /** Parts of a jackknife, for accelerated limits; default 50. */
  parts?: number;
  /** Level of the limits, default 0.95. */
  confidence?: number;
  /** Which limits to use, in place of the rule of `bootstrap`. */
  limits?: ChosenLimits;
  /** Default one a core; 0 works everything out here, without any worker. */
  workers?: number;
  /** Told how many replicates and parts are done, now and then. */
  onProgress?: (done: number, all: number) => void;
}

// Few enough that workers end together, many enough that messages cost nothing.
const CHUNK = 8;

/**
 * Bootstrap limits of several numbers at once, worked out in workers on all cores.
 *
 * Replicate r depends on the seed and r alone, so the result is the same to the last bit whatever
 * the number of workers. Put the whole procedure into the statistic, as for `bootstrap`. Workers
 * have the permissions of the program that starts them; reading the project is all they need.
 *
 * A worker takes a moment to start: below a second's work use none. Cost: `replicates` + `parts` times the
 * statistic, over the number of cores; each worker holds a copy of the statistic's input.
 *
 * @example
 * ```ts ignore
 * import { bootstrapInWorkers } from "mitral";
 * // means.ts: export const means = (x: Float64Array) => (rows: Int32Array) =>
 * //   [rows.reduce((sum, row) => sum + x[row]!, 0) / rows.length];
 * const statistic = { module: new URL("./means.ts", import.meta.url).href, name: "means", input: x };
 * const [mean] = await bootstrapInWorkers(x.length, statistic, { seed: 1 });
 * ```
 * @returns One result for each number of the statistic, in its order.
 * @throws {DataError} as `bootstrap` does, and where the module has no such function.
 * @see Efron & Tibshirani (1993) An Introduction to the Bootstrap.
 */
export async function bootstrapInWorkers(
  units: ResamplingUnits,
  statistic: PortableStatistic,
  options: WorkerOptions,
): Promise<Bootstrap[]> {
  const { confidence, wanted, parts } = bootstrapPlan(options);
  const { limits } = options;
  const workers = checkNumber(
    "workers",
    options.workers ?? navigator.hardwareConcurrency,
    (v) => Number.isInteger(v) && v >= 0,
    "a whole number >= 0",
  );
  const draw = drawer(units, options.seed, { wanted, parts });
  const own = rowsThemselves(units);
  const here = await statisticOf(statistic);
  const estimates = Float64Array.from(here(own.rows, own.unit));
  const size = estimates.length;
  const values = new Float64Array(draw.count * size);
  let done = 0;
  const keep = (from: number, part: Float64Array) => {
    values.set(part, from * size);
    done += part.length / size;
    options.onProgress?.(done, draw.count);
  };
  const chunks: ReplicateTask[] = [];
  for (let from = 0; from < draw.count; from += CHUNK) {
    chunks.push({ from, to: Math.min(draw.count, from + CHUNK) });
  }
  if (workers === 0) {
    for (const chunk of chunks) {
      keep(chunk.from, replicatesOf(here, draw.rows, { ...chunk, size, wanted }));
    }
  } else {
    await inWorkers<ReplicateSetup, ReplicateTask, Float64Array>({
      worker: new URL("./replicate-worker.ts", import.meta.url),
      what: "work out replicates",
      setup: { statistic, units, seed: options.seed, wanted, parts, size },
      tasks: chunks,
      workers,
    }, (place, part) => keep(chunks[place]!.from, part));
  }
  return Array.from(estimates, (estimate, k) => {
    const column = Float64Array.from({ length: draw.count }, (_, r) => values[r * size + k]!);
    return summariseReplicates(estimate, column, {
      wanted,
      confidence,
      ...(limits ? { limits } : {}),
    });
  });
}
