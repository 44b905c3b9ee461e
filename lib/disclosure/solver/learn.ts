import type { Clue, Range } from "./clue.ts";
import {
  addWhatFits,
  anything,
  narrow,
  partOf,
  type Ranges,
  type Riddle,
  riddleOf,
  separate,
} from "./riddle.ts";
import { findCounts } from "./search.ts";

/** What a reader with patience and a computer can say of one protected count. */
export interface Learnt extends Range {
  count: string;
  /** Values that were found possible, ascending: all, or as many as must stay possible. */
  possible: number[];
  /** Whether it is small and fewer values than must be are possible. */
  pinned: boolean;
  /**
   * Whether every value was decided; otherwise patience ran out, and the rest are
   * taken as possible.
   */
  decided: boolean;
}

/** What was worked out of everything printed. */
export interface LearntCounts {
  counts: Learnt[];
  /** Counts and clues that took part. */
  unknowns: number;
  clues: number;
  /** Where clues stand that others contradict, and that were left out. */
  contradicted: string[];
}

/**
 * How many values a protected count must keep: half of the small ones, and at least two. With a
 * smallest cell of 11 it is five of the ten.
 */
export function fewestValues(smallestCell: number): number {
  return Math.max(2, Math.ceil((smallestCell - 1) / 2));
}

/**
 * Tries to work out counts from everything that is printed: bounds are passed on from clue to clue,
 * and each value that is left is tried with whole numbers for all others (branch and bound). What
 * is found possible is so, with numbers that fit every clue.
 *
 * A clue that those before it contradict is left out and named: somebody else's table
 * may say anything.
 *
 * A count is pinned where one of the values from 1 to `smallestCell - 1` is possible and fewer than
 * {@link fewestValues} in all are. 0 is no secret.
 *
 * @param clues What is printed, and which counts are sums of which.
 * @param options.protect Names of counts.
 * @param options.most No count is larger: everybody there is.
 * @param options.supposed Relations that a reader may suppose, such as that a column is the sum of
 * others; each is used unless what is printed contradicts it.
 * @param options.patience Steps for each value tried.
 * @example
 * ```ts ignore
 * import { countIs, learnCounts, sumOf } from "./mod.ts";
 * const clues = [countIs("all", { low: 40, high: 40 }, "t"), countIs("men", { low: 37, high: 37 }, "t"),
 *   sumOf("all", ["men", "women"], "t")];
 * learnCounts(clues, { protect: ["women"], smallestCell: 11, most: 40 }).counts[0].pinned; // true
 * ```
 */
export function learnCounts(
  clues: readonly Clue[],
  { protect, smallestCell, most, supposed = [], patience = 300 }: {
    protect: readonly string[];
    smallestCell: number;
    most: number;
    supposed?: readonly Clue[];
    patience?: number;
  },
): LearntCounts {
  const { riddle, ranges, contradicted } = withSupposed(clues, { supposed, most, protect });
  const place = new Map(riddle.names.map((name, i) => [name, i]));
  const wanted = fewestValues(smallestCell);
  const learnt = new Map<string, Learnt>();
  const put = (
    count: string,
    { low, high }: Range,
    possible: Iterable<number>,
    decided: boolean,
  ) => {
    const values = [...possible].sort((a, b) => a - b);
    const few = decided && values.length < wanted;
    const small = values.some((value) => value > 0 && value < smallestCell);
    learnt.set(count, { count, low, high, possible: values, pinned: few && small, decided });
  };
  const asked = new Set(protect);
  for (const part of separate(riddle, ranges)) {
    const own = partOf(riddle, ranges, part);
    const inside = own.riddle.names.filter((name) => asked.has(name));
    if (inside.length === 0) continue;
    for (const [count, found] of tryValues(own, { inside, wanted, smallestCell, patience })) {
      const at = place.get(count)!;
      put(count, { low: ranges.low[at]!, high: ranges.high[at]! }, found.values, found.decided);
    }
  }
  for (const count of asked) {
    const at = place.get(count);
    if (at === undefined || learnt.has(count)) continue;
    const range = { low: ranges.low[at]!, high: ranges.high[at]! };
    put(count, range, range.low === range.high ? [range.low] : [], range.low === range.high);
  }
  return {
    counts: [...learnt.values()],
    unknowns: riddle.names.length,
    clues: riddle.clues.length,
    contradicted,
  };
}

/** The riddle with every supposed relation that fits what is printed. */
function withSupposed(
  clues: readonly Clue[],
  { supposed, most, protect }: {
    supposed: readonly Clue[];
    most: number;
    protect: readonly string[];
  },
): { riddle: Riddle; ranges: Ranges; contradicted: string[] } {
  const all = [...clues, ...supposed];
  const names = [
    ...new Set([...all.flatMap(({ parts }) => parts.map(({ count }) => count)), ...protect]),
  ];
  const fits = (some: readonly Clue[]) => {
    const riddle = riddleOf(some, names);
    const ranges = anything(riddle, most);
    return narrow(riddle, ranges) ? { riddle, ranges } : undefined;
  };
  const kept = [...clues];
  const contradicted: string[] = [];
  let found = fits(kept);
  while (!found) {
    const [first] = kept.splice(firstContradiction(kept, fits), 1);
    contradicted.push(first?.from ?? "");
    found = fits(kept);
  }
  const together = fits([...kept, ...supposed]);
  if (together) return { ...together, contradicted };
  const { ranges, unfit } = addWhatFits(found.riddle, found.ranges, supposed);
  contradicted.push(...unfit.map(({ from }) => from));
  return { riddle: found.riddle, ranges, contradicted };
}

/** The place of the first clue that does not fit those before it. */
function firstContradiction(
  clues: readonly Clue[],
  fits: (some: readonly Clue[]) => unknown,
): number {
  let low = 0;
  let high = clues.length;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (fits(clues.slice(0, middle))) low = middle;
    else high = middle;
  }
  return high - 1;
}

/** Of each count, which values are possible, until as many are found as must be. */
function tryValues(
  { riddle, ranges }: { riddle: Riddle; ranges: Ranges },
  { inside, wanted, smallestCell, patience }: {
    inside: readonly string[];
    wanted: number;
    smallestCell: number;
    patience: number;
  },
): Map<string, { values: Set<number>; decided: boolean }> {
  const found = new Map(
    inside.map((name) => [name, { values: new Set<number>(), decided: true }]),
  );
  const places = new Map(riddle.names.map((name, i) => [name, i]));
  // numbers that fit for one count show a possible value of every other too
  const take = (counts: Float64Array) => {
    for (const [name, { values }] of found) values.add(counts[places.get(name)!]!);
  };
  for (const [name, mine] of found) {
    const at = places.get(name)!;
    const low = ranges.low[at]!;
    const high = ranges.high[at]!;
    if (low >= smallestCell) continue; // it is not small, whatever it is
    for (let value = low; value <= high && mine.values.size < wanted; value++) {
      if (mine.values.has(value)) continue;
      const fixed = { low: ranges.low.with(at, value), high: ranges.high.with(at, value) };
      const counts = findCounts(riddle, fixed, { left: patience }, [at]);
      if (counts) take(counts);
      else if (counts === undefined) mine.decided = false;
    }
  }
  return found;
}
