import { DataError } from "../../numerics/mod.ts";
import type { ResamplingUnits } from "./draws.ts";

/**
 * Several numbers worked out from drawn rows; see `bootstrap` for `rows` and `unit`.
 *
 * @param replicate Which draw, from 0, so that each may take a completed set of its own; undefined
 * for the rows themselves, and for a jackknife's parts -1.
 */
export type VectorStatistic = (
  rows: Int32Array,
  unit: Int32Array,
  replicate?: number,
) => ArrayLike<number>;

/**
 * A statistic as a worker can be told of it: a module, the function it exports under `name`, and
 * what to call that with to get a {@link VectorStatistic}.
 */
export interface PortableStatistic {
  /** Address of the module, such as `import.meta.url` of the one that exports the function. */
  module: string;
  /** Name as the data have it. */
  name: string;
  /** Plain data: what can be copied to a worker, so no functions. */
  input: unknown;
}

/** What a worker is told once. */
export interface ReplicateSetup {
  statistic: PortableStatistic;
  units: ResamplingUnits;
  seed: number;
  /** Replicates; draws after them are the jackknife's, of so many parts. */
  wanted: number;
  parts: number;
  /** Units in each replicate, where there are fewer than all. */
  drawn?: number;
  /** Numbers in the statistic. */
  size: number;
}

/** Replicates from `from` up to, not including, `to`. */
export interface ReplicateTask {
  from: number;
  to: number;
}

/** @throws {DataError} if the module exports no such function. */
export async function statisticOf(
  { module, name, input }: PortableStatistic,
): Promise<VectorStatistic> {
  const exported: unknown = (await import(module))[name];
  if (typeof exported !== "function") {
    throw new DataError("statistic.name", "a function the module exports", name);
  }
  return exported(input);
}

/**
 * Values of the replicates asked for, one after the other. A draw that the statistic refuses (such
 * as one without any treated) gives NaN, which the summary counts as failed.
 */
export function replicatesOf(
  statistic: VectorStatistic,
  draw: (replicate: number) => { rows: Int32Array; unit: Int32Array },
  { from, to, size, wanted }: ReplicateTask & { size: number; wanted: number },
): Float64Array {
  const values = new Float64Array((to - from) * size).fill(NaN);
  for (let r = from; r < to; r++) {
    const { rows, unit } = draw(r);
    try {
      values.set(statistic(rows, unit, r < wanted ? r : -1), (r - from) * size);
    } catch (error) {
      if (!(error instanceof DataError)) throw error;
    }
  }
  return values;
}
