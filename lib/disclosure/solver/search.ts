import { narrow, type Ranges, type Riddle } from "./riddle.ts";

/** Steps that a search may still take. */
export interface Patience {
  left: number;
}

/**
 * Looks for whole numbers that fit all clues: bounds are passed on, the count with the fewest
 * values left is halved, and so on (branch and bound). Complete, as long as patience lasts.
 *
 * @param ranges Where to look; not changed.
 * @returns The counts; `null` where none fit; undefined where patience ran out first.
 */
export function findCounts(
  riddle: Riddle,
  ranges: Ranges,
  patience: Patience,
  from?: readonly number[],
): Float64Array | null | undefined {
  const own = { low: ranges.low.slice(), high: ranges.high.slice() };
  if (patience.left-- <= 0) return undefined;
  if (!narrow(riddle, own, from)) return null;
  let next = -1;
  let width = Infinity;
  for (let place = 0; place < own.low.length; place++) {
    const here = own.high[place]! - own.low[place]!;
    if (here > 0 && here < width) [next, width] = [place, here];
  }
  if (next < 0) return own.low;
  const middle = Math.floor((own.low[next]! + own.high[next]!) / 2);
  const lower = findCounts(riddle, { low: own.low, high: own.high.with(next, middle) }, patience, [
    next,
  ]);
  if (lower !== null) return lower;
  return findCounts(
    riddle,
    { low: own.low.with(next, middle + 1), high: own.high },
    patience,
    [next],
  );
}
