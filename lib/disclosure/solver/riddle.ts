import type { Clue, Range } from "./clue.ts";

/** Clues about counts that are known by their places. */
export interface Riddle {
  names: string[];
  clues: PlacedClue[];
  /** Of each count, the clues it is in. */
  cluesOf: number[][];
}

interface PlacedClue extends Range {
  at: number[];
  times: number[];
}

/** What each count can be: least and most. */
export interface Ranges {
  low: Float64Array;
  high: Float64Array;
}

/** Puts counts and clues in their places; no count is below 0 or above `most`. */
export function riddleOf(clues: readonly Clue[], names: readonly string[] = []): Riddle {
  const places = new Map<string, number>(names.map((name, i) => [name, i]));
  const placed = clues.map((clue) => placedAt(clue, places));
  const cluesOf: number[][] = Array.from({ length: places.size }, () => []);
  placed.forEach(({ at }, k) => at.forEach((place) => cluesOf[place]!.push(k)));
  return { names: [...places.keys()], clues: placed, cluesOf };
}

/** A clue about places; counts that have none get the next ones. */
function placedAt({ parts, low, high }: Clue, places: Map<string, number>): PlacedClue {
  const times = new Map<number, number>();
  for (const part of parts) {
    const at = places.get(part.count) ?? places.size;
    places.set(part.count, at);
    times.set(at, (times.get(at) ?? 0) + part.times);
  }
  return { at: [...times.keys()], times: [...times.values()], low, high };
}

/**
 * Adds each of some clues to a riddle as long as anything is possible still, one after the other,
 * from what is known without it: bounds only ever narrow, so that they end where they would if all
 * clues that were kept had been there from the beginning. Changes `riddle`.
 *
 * @param clues About counts that the riddle has.
 * @returns What is known with those that fit, and those that do not.
 */
export function addWhatFits(
  riddle: Riddle,
  ranges: Ranges,
  clues: readonly Clue[],
): { ranges: Ranges; unfit: Clue[] } {
  const places = new Map(riddle.names.map((name, i) => [name, i]));
  const unfit: Clue[] = [];
  let known = ranges;
  for (const clue of clues) {
    const placed = placedAt(clue, places);
    const k = riddle.clues.push(placed) - 1;
    for (const place of placed.at) riddle.cluesOf[place]!.push(k);
    const tried = { low: known.low.slice(), high: known.high.slice() };
    // one about nothing has no neighbours: all are asked
    if (narrow(riddle, tried, placed.at.length > 0 ? placed.at : undefined)) {
      known = tried;
      continue;
    }
    unfit.push(clue);
    riddle.clues.pop();
    for (const place of placed.at) riddle.cluesOf[place]!.pop();
  }
  return { ranges: known, unfit };
}

/** Anything from 0 to the number of patients there are. */
export function anything({ names }: Riddle, most: number): Ranges {
  return { low: new Float64Array(names.length), high: new Float64Array(names.length).fill(most) };
}

/** Allows for the last digits of a product of a share and a count. */
const slack = 1e-7;

/**
 * Passes bounds on from clue to clue until nothing moves. Changes `ranges`.
 *
 * @param from Counts whose bounds have just changed; default, all.
 * @returns Whether anything is possible still.
 */
export function narrow(riddle: Riddle, ranges: Ranges, from?: readonly number[]): boolean {
  const { clues, cluesOf } = riddle;
  const { low, high } = ranges;
  const waiting = new Set<number>(
    from ? from.flatMap((place) => cluesOf[place] ?? []) : clues.keys(),
  );
  for (const k of waiting) {
    waiting.delete(k);
    const clue = clues[k]!;
    let least = 0;
    let most = 0;
    clue.at.forEach((place, i) => {
      const times = clue.times[i]!;
      least += times * (times > 0 ? low[place]! : high[place]!);
      most += times * (times > 0 ? high[place]! : low[place]!);
    });
    if (least > clue.high + slack || most < clue.low - slack) return false;
    for (const [i, place] of clue.at.entries()) {
      const times = clue.times[i]!;
      if (times === 0) continue;
      // what the others leave for this one
      const othersLeast = least - times * (times > 0 ? low[place]! : high[place]!);
      const othersMost = most - times * (times > 0 ? high[place]! : low[place]!);
      const ends = [(clue.low - othersMost) / times, (clue.high - othersLeast) / times];
      const from = Math.ceil(Math.min(...ends) - slack);
      const to = Math.floor(Math.max(...ends) + slack);
      if (from <= low[place]! && to >= high[place]!) continue;
      const before = { low: low[place]!, high: high[place]! };
      low[place] = Math.max(before.low, from);
      high[place] = Math.min(before.high, to);
      if (low[place]! > high[place]!) return false;
      least += times > 0
        ? times * (low[place]! - before.low)
        : times * (high[place]! - before.high);
      most += times > 0 ? times * (high[place]! - before.high) : times * (low[place]! - before.low);
      for (const other of cluesOf[place]!) waiting.add(other);
    }
  }
  return true;
}

/**
 * Parts of a riddle that have nothing to do with each other once what is known is put in: each is
 * the places of its unknown counts.
 */
export function separate({ clues, names }: Riddle, { low, high }: Ranges): number[][] {
  const parent = names.map((_, place) => place);
  const root = (place: number): number => {
    while (parent[place] !== place) place = parent[place] = parent[parent[place]!]!;
    return place;
  };
  const isOpen = (place: number) => low[place]! < high[place]!;
  for (const { at } of clues) {
    const [first, ...others] = at.filter(isOpen);
    for (const other of others) parent[root(other)] = root(first!);
  }
  const parts = new Map<number, number[]>();
  for (const place of names.keys()) {
    if (!isOpen(place)) continue;
    const of = root(place);
    const part = parts.get(of);
    if (part) part.push(place);
    else parts.set(of, [place]);
  }
  return [...parts.values()];
}

/** A riddle of some of the counts alone, with what is known of the others put into its clues. */
export function partOf(
  { clues, cluesOf: all, names }: Riddle,
  ranges: Ranges,
  places: readonly number[],
): { riddle: Riddle; ranges: Ranges } {
  const inside = new Map(places.map((place, i) => [place, i]));
  const kept = [...new Set(places.flatMap((place) => all[place] ?? []))].map((k) => clues[k]!)
    .map(({ at, times, low, high }): PlacedClue => {
      const known = at.reduce(
        (sum, place, i) => inside.has(place) ? sum : sum + times[i]! * ranges.low[place]!,
        0,
      );
      const open = at.flatMap((place, i) => inside.has(place) ? [i] : []);
      return {
        at: open.map((i) => inside.get(at[i]!)!),
        times: open.map((i) => times[i]!),
        low: low - known,
        high: high - known,
      };
    });
  const cluesOf: number[][] = places.map(() => []);
  kept.forEach(({ at }, k) => at.forEach((place) => cluesOf[place]!.push(k)));
  return {
    riddle: { names: places.map((place) => names[place]!), clues: kept, cluesOf },
    ranges: {
      low: Float64Array.from(places, (place) => ranges.low[place]!),
      high: Float64Array.from(places, (place) => ranges.high[place]!),
    },
  };
}
