import { checkNumber } from "../numerics/columns.ts";
import {
  type Bootstrap,
  bootstrapPlan,
  resampler,
  type ResamplingUnits,
  rowsThemselves,
  summariseReplicates,
} from "./bootstrap.ts";
import {
  type PortableStatistic,
  type ReplicateSetup,
  replicatesOf,
  statisticOf,
} from "./replicates.ts";

/** How to share out a bootstrap. */
export interface WorkerOptions {
  seed: number;
  /** Default 1000. */
  replicates?: number;
  confidence?: number;
  /** Default one a core; 0 works everything out here, without any worker. */
  workers?: number;
  /** Told how many replicates are done, now and then. */
  onProgress?: (done: number, replicates: number) => void;
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
 * A worker takes a moment to start: below a second's work use none. Cost: `replicates` times the
 * statistic, over the number of cores; each worker holds a copy of the statistic's input.
 *
 * @example
 * ```ts
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
  const { tail, wanted } = bootstrapPlan(options);
  const workers = checkNumber(
    "workers",
    options.workers ?? navigator.hardwareConcurrency,
    (v) => Number.isInteger(v) && v >= 0,
    "a whole number >= 0",
  );
  const draw = resampler(units, options.seed);
  const own = rowsThemselves(units);
  const here = await statisticOf(statistic);
  const estimates = Float64Array.from(here(own.rows, own.unit));
  const size = estimates.length;
  const values = new Float64Array(wanted * size);
  let done = 0;
  const keep = (from: number, part: Float64Array) => {
    values.set(part, from * size);
    done += part.length / size;
    options.onProgress?.(done, wanted);
  };
  const chunks: [from: number, to: number][] = [];
  for (let from = 0; from < wanted; from += CHUNK) {
    chunks.push([from, Math.min(wanted, from + CHUNK)]);
  }
  if (workers === 0) {
    for (const [from, to] of chunks) keep(from, replicatesOf(here, draw, { from, to, size }));
  } else {
    const setup = { statistic, units, seed: options.seed, size };
    await shareOut(setup, { chunks, keep, count: Math.min(workers, chunks.length) });
  }
  return Array.from(estimates, (estimate, k) => {
    const column = Float64Array.from({ length: wanted }, (_, r) => values[r * size + k]!);
    return summariseReplicates(estimate, column, tail);
  });
}

/** Each worker takes the next chunk as soon as it is free. Rejects with the first problem. */
async function shareOut(
  setup: ReplicateSetup,
  { chunks, keep, count }: {
    chunks: [from: number, to: number][];
    keep: (from: number, values: Float64Array) => void;
    count: number;
  },
): Promise<void> {
  const address = new URL("./replicate-worker.ts", import.meta.url);
  const workers = Array.from({ length: count }, () => new Worker(address, { type: "module" }));
  let next = 0;
  try {
    await Promise.all(workers.map((worker) =>
      new Promise<void>((resolve, reject) => {
        worker.onerror = (event) => {
          event.preventDefault();
          reject(new Error(`Cannot work out replicates: ${event.message}`));
        };
        worker.onmessage = ({ data }) => {
          if (data.problem !== undefined) {
            reject(new Error(`Cannot work out replicates: ${data.problem}`));
            return;
          }
          if (data.values) keep(data.from, data.values);
          const chunk = chunks[next++];
          if (chunk) worker.postMessage({ from: chunk[0], to: chunk[1] });
          else resolve();
        };
        worker.postMessage(setup);
      })
    ));
  } finally {
    for (const worker of workers) worker.terminate();
  }
}
