import { DataError } from "../../numerics/mod.ts";
import type { Pair } from "./greedy.ts";
import type { MatchLayout } from "./layout.ts";

/**
 * Pairs of rows within the caliper that the whole search takes at most, of rows that may be
 * partners: one byte each is kept to trace the best pairs back.
 */
export const mostInWholeSearch = 1_000_000_000;

/**
 * Optimal pair matching without replacement on one number: as many pairs within the width as there
 * can be, and of such sets the one with the smallest total difference.
 *
 * On a line, two pairs that cross can be uncrossed without making either the total or the wider of
 * the two differences larger (Karp & Li 1975, Discrete Math 13:129, for the totals; the widths by
 * the same four-case argument), so some optimal set keeps both groups in order. Such sets are the
 * alignments of two sorted sequences, and the best is found by dynamic programming over treated i
 * and control j: leave out j, leave out i, or pair them. Only controls within the width of i need
 * a cell, so cost and memory (a byte each) are O(n + pairs of rows within the width).
 *
 * With several partners, every treated stands in line that many times.
 */
export function matchOptimal(
  layout: MatchLayout,
  rules: { width: number; partners: number },
): Pair[] {
  const pairs: Pair[] = [];
  for (let s = 0; s + 1 < layout.treatedStarts.length; s++) {
    alignStratum(layout, s, rules, pairs);
  }
  return pairs.sort((a, b) => a[0] - b[0] || a[1] - b[1]);
}

/** The most pairs of rows within the width that any stratum has. Cost O(n). */
export function wholeSearchSize(
  layout: MatchLayout,
  rules: { width: number; partners: number },
): number {
  let most = 0;
  for (let s = 0; s + 1 < layout.treatedStarts.length; s++) {
    most = Math.max(most, windowsOf(layout, s, rules).offset.at(-1)!);
  }
  return most;
}

/** The controls of a stratum within the width, [low, high), for each treated line. */
function windowsOf(
  layout: MatchLayout,
  stratum: number,
  { width, partners }: { width: number; partners: number },
) {
  const { treatedAt, controlAt } = layout;
  const firstTreated = layout.treatedStarts[stratum]!;
  const firstControl = layout.controlStarts[stratum]!;
  const controls = layout.controlStarts[stratum + 1]! - firstControl;
  const lines = (layout.treatedStarts[stratum + 1]! - firstTreated) * partners;
  const low = new Uint32Array(lines);
  const high = new Uint32Array(lines);
  const offset = new Float64Array(lines + 1);
  for (let line = 0, a = 0, b = 0; line < lines; line++) {
    const at = treatedAt[firstTreated + Math.floor(line / partners)]!;
    const gap = (j: number) => Math.abs(controlAt[firstControl + j]! - at);
    while (a < controls && controlAt[firstControl + a]! < at && !(gap(a) <= width)) a++;
    b = Math.max(a, b);
    while (b < controls && (controlAt[firstControl + b]! < at || gap(b) <= width)) b++;
    low[line] = a;
    high[line] = b;
    offset[line + 1] = offset[line]! + b - a;
  }
  return { low, high, offset, lines, controls, firstTreated, firstControl };
}

function alignStratum(
  layout: MatchLayout,
  stratum: number,
  rules: { width: number; partners: number },
  pairs: Pair[],
): void {
  const { treatedRows, treatedAt, controlRows, controlAt } = layout;
  const windows = windowsOf(layout, stratum, rules);
  const { low, high, offset, lines, controls, firstTreated, firstControl } = windows;
  const placeOf = (line: number) => firstTreated + Math.floor(line / rules.partners);
  if (offset[lines]! > mostInWholeSearch) {
    throw new DataError(
      "caliper",
      `narrow enough for optimal matching (at most ${mostInWholeSearch} pairs of rows within it)`,
      `${offset[lines]} pairs of rows`,
    );
  }

  // best[j]: pairs and total difference using the lines so far and controls 0 .. j - 1
  const count = new Int32Array(controls + 1);
  const total = new Float64Array(controls + 1);
  const choice = new Uint8Array(offset[lines]!);
  let filled = 0;
  for (let line = 0; line < lines; line++) {
    const at = treatedAt[placeOf(line)]!;
    const end = high[line]!;
    if (end > filled) {
      count.fill(count[filled]!, filled + 1, end + 1);
      total.fill(total[filled]!, filled + 1, end + 1);
      filled = end;
    }
    const start = low[line]!;
    const base = offset[line]! - start - 1;
    let countBefore = count[start]!;
    let totalBefore = total[start]!;
    for (let j = start + 1; j <= end; j++) {
      const pairedCount = countBefore + 1;
      const pairedTotal = totalBefore + Math.abs(controlAt[firstControl + j - 1]! - at);
      countBefore = count[j]!;
      totalBefore = total[j]!;
      let bestCount = count[j - 1]!;
      let bestTotal = total[j - 1]!;
      let best = SKIP_CONTROL;
      if (countBefore > bestCount || (countBefore === bestCount && totalBefore <= bestTotal)) {
        bestCount = countBefore;
        bestTotal = totalBefore;
        best = SKIP_TREATED;
      }
      if (pairedCount > bestCount || (pairedCount === bestCount && pairedTotal < bestTotal)) {
        bestCount = pairedCount;
        bestTotal = pairedTotal;
        best = PAIR;
      }
      count[j] = bestCount;
      total[j] = bestTotal;
      choice[base + j] = best;
    }
  }

  let j = controls;
  for (let line = lines - 1; line >= 0;) {
    j = Math.min(j, high[line]!);
    if (j <= low[line]!) {
      line--;
      continue;
    }
    const made = choice[offset[line]! - low[line]! - 1 + j]!;
    if (made === PAIR) {
      pairs.push([treatedRows[placeOf(line)]!, controlRows[firstControl + j - 1]!]);
    }
    if (made !== SKIP_CONTROL) line--;
    if (made !== SKIP_TREATED) j--;
  }
}

const SKIP_CONTROL = 0;
const SKIP_TREATED = 1;
const PAIR = 2;
