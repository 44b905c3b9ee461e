import { checkWhole, distributions, inWorkers, momentsOf } from "../../numerics/mod.ts";
import { bootstrapPlan } from "./bootstrap.ts";
import { type ResamplingUnits, unitsIn } from "./draws.ts";
import { replicatesAtHand } from "./kept-replicates.ts";
import { chunksOf, readyJob, type ReplicateJob, replicateWorker } from "./replicate-range.ts";
import { type Bootstrap, type ChosenLimits, summariseReplicates } from "./summary.ts";
import type { PortableStatistic, ReplicateSetup, ReplicateTask } from "./replicates.ts";

/** How to share out a bootstrap. */
export interface WorkerOptions {
  /** Where the random numbers begin: the same seed gives the same result. */
  seed: number;
  /** Default 1000. */
  replicates?: number;
  /** Parts of a jackknife, for accelerated limits; default 50, 0 for none. */
  parts?: number;
  /** Level of the limits, default 0.95. */
  confidence?: number;
  /** Which limits to use, in place of the rule of `bootstrap`. */
  limits?: ChosenLimits;
  /**
   * For normal limits: no more replicates than it takes until what chance in the replicates does to
   * any limit is expected to be at most so much (its standard error, z s / sqrt(2 replicates), with
   * s from the first `pilot`). `replicates` is then the most there may be.
   */
  within?: number;
  /** The fewest replicates that `within` may leave, default 50. */
  pilot?: number;
  /**
   * Units in each replicate, where so many are enough; see `drawnOfMany`. Replicates are then drawn
   * in about the estimate by sqrt(drawn / units), limits are normal, and there is no jackknife.
   */
  drawn?: number;
  /** Default one a core where the work is worth them; 0 works everything out here. */
  workers?: number;
  /** Told how many replicates and parts are done, now and then. */
  onProgress?: (done: number, all: number) => void;
}

// So many tell the standard error to a tenth of itself.
const PILOT = 50;
/** So many, to a sixth of itself: enough where limits are narrow. */
export const SMALL_PILOT = 20;

/**
 * Bootstrap limits of several numbers at once, worked out in workers on all cores.
 *
 * Replicate r depends on the seed and r alone, so the result is the same to the last bit whatever
 * the number of workers. Put the whole procedure into the statistic, as for `bootstrap`. Workers
 * have the permissions of the program that starts them; reading the project is all they need.
 *
 * Replicates of just this job that the run has at hand, worked out elsewhere, are used.
 *
 * A worker takes a moment to start: below six seconds' work there are none, unless asked for. Cost:
 * `replicates` + `parts` times the statistic, over the number of cores; each worker holds a copy of
 * the statistic's input.
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
  const { drawn, pilot: fewest = PILOT } = options;
  const limits = drawn === undefined ? options.limits : ofDrawn;
  const workers = checkWhole("workers", options.workers ?? navigator.hardwareConcurrency, 0);
  const job = replicateJob(units, statistic, { ...options, wanted, parts });
  const { estimates, count, here, setup } = await readyJob(job);
  const { size } = setup;
  const values = new Float64Array(count * size);
  let done = 0;
  const nearer = drawn === undefined ? 1 : Math.sqrt(drawn / unitsIn(units));
  const drawIn = (some: Float64Array) =>
    some.forEach((value, at) => {
      const estimate = estimates[at % size]!;
      some[at] = estimate + nearer * (value - estimate);
    });
  // replicates beyond these are passed over, once the first ones have told how many it takes
  let enough = wanted;
  const keep = (from: number, part: Float64Array) => {
    values.set(part, from * size);
    if (drawn !== undefined) drawIn(values.subarray(from * size, from * size + part.length));
    done += part.length / size;
    const all = count - wanted + enough;
    options.onProgress?.(Math.min(done, all), all);
  };
  const chunks = [...chunksOf(0, wanted), ...chunksOf(wanted, count)];
  const columnOf = (k: number, from: number, to: number) =>
    Float64Array.from({ length: to - from }, (_, r) => values[(from + r) * size + k]!);
  const first = new Set(
    options.within === undefined ? [] : chunksOf(0, fewest).map(({ from }) => from),
  );
  const take = (chunk: ReplicateTask, part: Float64Array) => {
    keep(chunk.from, part);
    if (!first.delete(chunk.from) || first.size > 0) return;
    const pilot = Array.from(estimates, (_, k) => columnOf(k, 0, fewest));
    enough = Math.min(wanted, replicatesWithin(pilot, options.within!, confidence));
  };
  const isNeeded = ({ from }: ReplicateTask) => from < enough || from >= wanted;
  const atHand = await replicatesAtHand(job, values.length);
  const work = atHand
    ? (chunk: ReplicateTask) => atHand.subarray(chunk.from * size, chunk.to * size)
    : here;
  const isHere = atHand !== undefined || workers === 0;
  await inWorkers<ReplicateSetup, ReplicateTask, Float64Array>({
    worker: replicateWorker,
    what: "work out replicates",
    setup,
    tasks: chunks,
    workers: isHere ? 0 : workers,
    isNeeded: (place) => isNeeded(chunks[place]!),
    ...((isHere || options.workers === undefined) && { here: work }),
  }, (place, part) => take(chunks[place]!, part));
  return Array.from(estimates, (estimate, k) => {
    const column = Float64Array.of(
      ...columnOf(k, 0, enough),
      ...columnOf(k, wanted, count),
    );
    return summariseReplicates(estimate, column, {
      wanted: enough,
      confidence,
      ...(limits ? { limits } : {}),
    });
  });
}

/** A bootstrap's job; one of draws that are not of all units needs no jackknife. */
export function replicateJob(
  units: ResamplingUnits,
  statistic: PortableStatistic,
  { seed, wanted, parts, drawn }: Omit<ReplicateJob, "units" | "statistic">,
): ReplicateJob {
  const job = { units, statistic, seed, wanted };
  return drawn === undefined ? { ...job, parts } : { ...job, parts: 0, drawn };
}

const ofDrawn: ChosenLimits = {
  method: "normal",
  why: "Of so many, replicates draw some, whose standard error is made that of all: limits are " +
    "the estimate and that standard error's.",
};

/**
 * How many replicates it takes until no normal limit has a larger standard error; at
 * least the pilot's.
 */
function replicatesWithin(
  pilot: readonly Float64Array[],
  within: number,
  confidence: number,
): number {
  const z = distributions.normalUpperQuantile((1 - confidence) / 2);
  const spreads = pilot.map((values) =>
    Math.sqrt(momentsOf(values.filter(Number.isFinite)).variance)
  );
  const most = Math.max(...spreads.map((spread) => Number.isNaN(spread) ? Infinity : spread));
  return Math.max(pilot[0]!.length, Math.ceil((z * most / within) ** 2 / 2));
}
