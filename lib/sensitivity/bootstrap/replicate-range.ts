import { inWorkers } from "../../numerics/mod.ts";
import { drawer, type ResamplingUnits, rowsThemselves } from "./draws.ts";
import {
  type PortableStatistic,
  type ReplicateSetup,
  replicatesOf,
  type ReplicateTask,
  statisticOf,
} from "./replicates.ts";

/** A statistic to be worked out on patients drawn anew, as plain data: anywhere, in any order. */
export interface ReplicateJob {
  /** What is drawn. */
  units: ResamplingUnits;
  /** What is worked out on each draw. */
  statistic: PortableStatistic;
  /** Where the random numbers begin. */
  seed: number;
  /** Replicates. */
  wanted: number;
  /** Parts of a jackknife, after them. */
  parts: number;
  /** Units in each replicate, where there are fewer than all. */
  drawn?: number;
}

/** A job made ready. */
export interface ReadyJob {
  /** Of the rows themselves. */
  estimates: Float64Array;
  /** Replicates, and parts of the jackknife. */
  count: number;
  /** The values of some replicates, worked out here. */
  here(task: ReplicateTask): Float64Array;
  /** What a worker must be told. */
  setup: ReplicateSetup;
}

/** @throws {DataError} where the module has no such function, or the statistic refuses the rows. */
export async function readyJob(job: ReplicateJob): Promise<ReadyJob> {
  const { units, seed } = job;
  const draw = drawer(units, seed, job);
  const own = rowsThemselves(units);
  const statistic = await statisticOf(job.statistic);
  const estimates = Float64Array.from(statistic(own.rows, own.unit));
  const size = estimates.length;
  return {
    estimates,
    count: draw.count,
    here: (task) => replicatesOf(statistic, draw.rows, { ...task, size, wanted: job.wanted }),
    setup: { ...job, size },
  };
}

/** Where the worker's module is. */
export const replicateWorker = new URL("./replicate-worker.ts", import.meta.url);

// Few enough that workers end together, many enough that messages cost nothing.
const CHUNK = 8;

/** Replicates in pieces that workers take one at a time. */
export function chunksOf(from: number, to: number): ReplicateTask[] {
  const chunks: ReplicateTask[] = [];
  for (let at = from; at < to; at += CHUNK) chunks.push({ from: at, to: Math.min(to, at + CHUNK) });
  return chunks;
}

/**
 * Which replicates make up one of several parts of a job, or of anything that is counted: parts
 * differ in size by at most one, and together are all.
 *
 * @param part From 1.
 */
export function rangeOfPart(count: number, { part, of }: { part: number; of: number }) {
  return { from: Math.floor((part - 1) * count / of), to: Math.floor(part * count / of) };
}

/**
 * The values of one part of a job's replicates, worked out in workers: what the whole job has in
 * their places, to the last bit.
 *
 * @param options.workers 0 works everything out here.
 */
export async function replicatesOfPart(
  job: ReplicateJob,
  place: { part: number; of: number },
  options: { workers: number; onProgress?: (done: number, all: number) => void },
): Promise<Float64Array> {
  const ready = await readyJob(job);
  const { size } = ready.setup;
  const { from, to } = rangeOfPart(ready.count, place);
  const values = new Float64Array((to - from) * size);
  const tasks = chunksOf(from, to);
  let done = 0;
  const keep = (index: number, part: Float64Array) => {
    values.set(part, (tasks[index]!.from - from) * size);
    done += part.length / size;
    options.onProgress?.(done, to - from);
  };
  if (options.workers === 0) tasks.forEach((task, index) => keep(index, ready.here(task)));
  else {
    await inWorkers<ReplicateSetup, ReplicateTask, Float64Array>({
      worker: replicateWorker,
      what: "work out replicates",
      setup: ready.setup,
      tasks,
      workers: options.workers,
    }, keep);
  }
  return values;
}
