import { DataError } from "../numerics/mod.ts";
import { isSmall } from "./small-counts.ts";

/**
 * Where ordered categories may be cut apart so that no part between two cuts holds a small count: a
 * category too small to publish stays joined with its neighbour.
 *
 * Cut k stands below category k, so that "category k or worse" may be told. Cuts are tried in the
 * order of `prefer`, and one is taken where every part is 0 or at least `smallestCell`. Any choice
 * among the cuts given is safe too: it only joins parts further.
 *
 * @param counts Of each category, least first.
 * @param options.prefer Cuts in the order in which they matter; default: all, from the least.
 * @returns The cuts taken, ascending; none where only the total may be told.
 * @example
 * ```ts
 * import { publishableCuts } from "mitral";
 * publishableCuts([60, 20, 4, 16], { smallestCell: 11, prefer: [2, 1, 3] }); // [1, 2]
 * ```
 * @throws {DataError} On a cut that is not between two categories.
 */
export function publishableCuts(
  counts: readonly number[],
  { smallestCell, prefer = counts.slice(1).map((_, k) => k + 1) }: {
    smallestCell: number;
    prefer?: readonly number[];
  },
): number[] {
  const taken: number[] = [];
  prefer.forEach((cut, i) => {
    if (!(Number.isInteger(cut) && cut > 0 && cut < counts.length)) {
      throw new DataError("prefer", `a whole number from 1 to ${counts.length - 1}`, cut, i);
    }
    const tried = [...taken, cut].sort((a, b) => a - b);
    if (partsBetween(counts, tried).every((part) => !isSmall(part, smallestCell))) {
      taken.splice(0, taken.length, ...tried);
    }
  });
  return taken;
}

/** Sums of the counts between cuts, as {@link publishableCuts} gives them. */
export function partsBetween(counts: readonly number[], cuts: readonly number[]): number[] {
  const edges = [0, ...cuts, counts.length];
  return edges.slice(1).map((end, k) =>
    counts.slice(edges[k], end).reduce((sum, count) => sum + count, 0)
  );
}
