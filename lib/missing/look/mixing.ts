import { DataError, momentsOf } from "../../numerics/mod.ts";
import type { ImputedColumns } from "../chain/mod.ts";

/** Whether the chains of one column went on from where they began. */
export interface Mixing {
  /** Name as the data have it. */
  name: string;
  /**
   * By how much the spread of what the chains give would shrink with more iterations, of the mean
   * of the drawn values; near 1 where they have forgotten where they began.
   */
  shrinkage: number;
}

/**
 * The potential scale reduction of the mean of drawn values, over the second half of each chain.
 *
 * Above 1.1 (common practice) chains still tell where they began: more iterations are needed. NaN
 * where every chain gives the same throughout.
 *
 * @throws {DataError} with fewer than two sets or four iterations.
 * @see Gelman & Rubin (1992) Stat Sci 7:457-472.
 */
export function mixing(imputed: ImputedColumns): Mixing[] {
  const { iterations, sets, traces } = imputed;
  if (sets.length < 2) throw new DataError("imputed.sets", "at least two", sets);
  if (iterations < 4) throw new DataError("imputed.iterations", "at least 4", iterations);
  const from = Math.floor(iterations / 2);
  const length = iterations - from;
  return imputed.columns.map(({ name }) => {
    const halves = traces[name]!.map(({ mean }) => momentsOf(mean.subarray(from)));
    const within = halves.reduce((sum, { variance }) => sum + variance, 0) / halves.length;
    const between = momentsOf(Float64Array.from(halves, ({ mean }) => mean)).variance;
    const total = (length - 1) / length * within + between;
    return { name, shrinkage: Math.sqrt(total / within) };
  });
}
