import { FreePlaces } from "./free-places.ts";
import { type MatchLayout, runsOf, stratumOfTreated } from "./layout.ts";

/** Treated and control rows of a pair. */
export type Pair = [treatedIndex: number, controlIndex: number];

/** How a greedy match goes about it. */
export interface GreedyRules {
  /** Widest difference allowed. */
  width: number;
  partners: number;
  begin: "highest" | "lowest" | "as-listed";
}

/**
 * Greedy matching without replacement: in turn, each treated takes the nearest free control, in as
 * many rounds as `partners` says, so that nobody takes a second control before all had their chance
 * of a first. Equal differences: the lower row. Cost O(n) after the layout but for path halving.
 */
export function matchGreedy(layout: MatchLayout, rules: GreedyRules): Pair[] {
  const { treatedRows, treatedAt, controlRows, controlAt, controlStarts, meets } = layout;
  const stratum = stratumOfTreated(layout);
  const free = new FreePlaces(controlRows.length);
  const runs = runsOf(layout);
  const pairs: Pair[] = [];
  let queue = turns(layout, rules.begin);
  for (let round = 0; round < rules.partners; round++) {
    const served: number[] = [];
    for (const t of queue) {
      const first = controlStarts[stratum[t]!]!;
      const end = controlStarts[stratum[t]! + 1]!;
      const place = nearestFree(treatedAt[t]!, meets[t]!, first, end, free, layout, runs);
      if (place < 0 || !(Math.abs(controlAt[place]! - treatedAt[t]!) <= rules.width)) continue;
      free.take(place);
      pairs.push([treatedRows[t]!, controlRows[place]!]);
      served.push(t);
    }
    queue = Uint32Array.from(served); // one that found nothing will find nothing later
  }
  return pairs;
}

/**
 * The free control nearest to `at`, of those equally near the lowest row; -1 if none is free.
 *
 * Differences, as computed, never shrink away from `at`, so those equally near are found by walking
 * outwards from the nearest on either side, one run of equal distances at a time.
 */
function nearestFree(
  at: number,
  meet: number,
  first: number,
  end: number,
  free: FreePlaces,
  layout: MatchLayout,
  runs: { start: Uint32Array; end: Uint32Array },
): number {
  const { controlAt, controlRows } = layout;
  let right = free.after(meet);
  if (right >= end) right = -1;
  let left = meet > first ? free.before(meet - 1) : -1;
  if (left < first) left = -1;
  if (left < 0 && right < 0) return -1;
  const toRight = right < 0 ? Infinity : Math.abs(controlAt[right]! - at);
  const toLeft = left < 0 ? Infinity : Math.abs(controlAt[left]! - at);
  const nearest = Math.min(toLeft, toRight);
  let best = -1;
  if (toRight === nearest) {
    best = right;
    // rounding may make runs further out as near
    for (let next = right; next < end && Math.abs(controlAt[next]! - at) === nearest;) {
      if (controlRows[next]! < controlRows[best]!) best = next;
      next = free.after(runs.end[next]!);
    }
  }
  if (toLeft === nearest) {
    for (let next = left; next >= first && Math.abs(controlAt[next]! - at) === nearest;) {
      const start = runs.start[next]!;
      const lowest = free.after(start); // equal distances ascend by row
      if (best < 0 || controlRows[lowest]! < controlRows[best]!) best = lowest;
      next = start > first ? free.before(start - 1) : -1;
    }
  }
  return best;
}

/** Treated places in the order of their turns; equal distances by ascending row. */
export function turns(layout: MatchLayout, begin: GreedyRules["begin"]): Uint32Array {
  const { treatedRows, treatedAt, ascending: places } = layout;
  if (begin === "as-listed") return byRow(places, treatedRows);
  if (begin === "lowest") return places;
  const falling = new Uint32Array(places.length);
  let next = 0;
  for (let end = places.length; end > 0;) {
    let start = end - 1;
    while (start > 0 && treatedAt[places[start - 1]!] === treatedAt[places[end - 1]!]) start--;
    for (let i = start; i < end; i++) falling[next++] = places[i]!;
    end = start;
  }
  return falling;
}

/** Places sorted by row, without comparing: rows are distinct. */
function byRow(places: Uint32Array, rows: Uint32Array): Uint32Array {
  let largest = 0;
  for (const row of rows) if (row > largest) largest = row;
  const at = new Int32Array(largest + 1).fill(-1);
  for (const place of places) at[rows[place]!] = place;
  const sorted = new Uint32Array(places.length);
  let next = 0;
  for (const place of at) if (place >= 0) sorted[next++] = place;
  return sorted;
}
