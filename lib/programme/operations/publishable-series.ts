import { DataError } from "../../numerics/mod.ts";

/** Blocks of a series, each with enough operations of either kind to be shown. */
export interface Blocks {
  /** First row of each block and one past its last. */
  ranges: { first: number; end: number }[];
}

/**
 * Divides a series into blocks, each with at least `smallestCell` events and as many operations
 * without, so that no single operation can be read off what is drawn of it. What is left at the end
 * joins the last block.
 *
 * @returns No block where the whole series has too few.
 */
export function publishableBlocks(outcome: ArrayLike<number>, smallestCell: number): Blocks {
  const ranges: { first: number; end: number }[] = [];
  let first = 0;
  let events = 0;
  for (let i = 0; i < outcome.length; i++) {
    events += outcome[i]!;
    const others = i + 1 - first - events;
    if (events >= smallestCell && others >= smallestCell) {
      ranges.push({ first, end: i + 1 });
      first = i + 1;
      events = 0;
    }
  }
  const last = ranges.at(-1);
  if (last) last.end = outcome.length;
  return { ranges };
}

/** Means of a column over blocks, which is what is drawn of a series in place of the series. */
export function blockMeans(column: ArrayLike<number>, { ranges }: Blocks): Float64Array {
  return Float64Array.from(ranges, ({ first, end }) => {
    if (!(end > first)) throw new DataError("ranges", "at least one row in each", end - first);
    let sum = 0;
    for (let i = first; i < end; i++) sum += column[i]!;
    return sum / (end - first);
  });
}
