import {
  binaryColumn,
  checkChoice,
  checkNumber,
  DataError,
  groupColumn,
  type Labels,
  momentsOf,
  numberColumn,
  type Numbers,
} from "../../numerics/mod.ts";
import { matchClosest } from "./closest.ts";
import { matchGreedy, type Pair } from "./greedy.ts";
import { layoutFor } from "./layout.ts";
import { matchOptimal } from "./optimal.ts";
import { matchWithReplacement } from "./with-replacement.ts";

/** What {@link matchPairs} needs. */
export interface MatchData {
  /** 0 or 1, both present. */
  treated: Numbers;
  /** What partners should be alike in, such as the linear predictor of a propensity score. */
  distance: Numbers;
  /** Partners must have the same label. */
  exact?: Labels;
}

/** How to match; see {@link matchPairs}. */
export interface MatchOptions {
  caliper?: number;
  ratio?: number;
  replacement?: boolean;
  order?: "descending" | "ascending" | "as-given" | "closest";
  method?: "greedy" | "optimal";
}

/** Matched pairs and who is left. */
export interface Matches {
  /** Rows of treated and control, in the order in which the pairs were made. */
  pairs: Pair[];
  /** Treated rows without any partner, ascending. */
  unmatchedTreated: number[];
  /** The caliper in units of distance. */
  caliperWidth: number;
}

/**
 * Matches each treated to controls near it in one number.
 *
 * Greedy: treated take turns, each taking the nearest control still free. Optimal: as many pairs
 * within the caliper as there can be, with the smallest total difference. Either way a pair is no
 * further apart than `caliper` pooled standard deviations of distance,
 * sqrt((s1^2 + s0^2) / 2) over all rows. Ties: the lower row, whether of treated that come to their
 * turn together or of controls that are equally near; of sets of pairs with equal totals, optimal
 * matching returns always the same one.
 *
 * With `ratio` k, greedy matching goes k rounds, each treated taking one control a round; optimal
 * matching makes as many pairs as it can, which may give one treated k controls and another none.
 *
 * Matched pairs estimate the effect among those who could be matched. Analyse them as pairs: limits
 * that ignore the pairing are too wide or too narrow.
 *
 * Cost: O(n) for the sort and O(n log n) at worst for greedy matching; optimal matching O(n + pairs
 * of rows within the caliper) in time and memory.
 *
 * @example
 * ```ts
 * const { pairs } = matchPairs({ treated: [1, 0, 0], distance: [0.4, 0.9, 0.5] }, {
 *   caliper: Infinity,
 * });
 * pairs; // [[0, 2]]
 * ```
 * @param options.caliper In pooled standard deviations, 0.2; Infinity for none.
 * @param options.ratio Controls for each treated, 1.
 * @param options.replacement Whether a control may serve several treated, false.
 * @param options.order Who has the first turn: "descending" by distance (the default),
 * "ascending", "as-given" (by row), or "closest": whichever pair is closest of all is made next.
 * Optimal matching has no turns; its pairs come by ascending treated row.
 * @param options.method "greedy" (the default) or "optimal".
 * @throws {DataError}
 * @see Austin (2011) Pharm Stat 10:150-161 for the caliper; Rosenbaum (1989) JASA 84:1024-1032 for
 * optimal matching.
 */
export function matchPairs(data: MatchData, options: MatchOptions = {}): Matches {
  const { caliper = 0.2, ratio = 1, replacement = false } = options;
  checkNumber("caliper", caliper, (c) => c >= 0, "a number >= 0");
  checkNumber("ratio", ratio, (r) => Number.isInteger(r) && r >= 1, "a whole number >= 1");
  const order = checkChoice("order", options.order ?? "descending", [
    "descending",
    "ascending",
    "as-given",
    "closest",
  ]);
  const method = checkChoice("method", options.method ?? "greedy", ["greedy", "optimal"]);
  const treated = binaryColumn("treated", data.treated);
  const n = treated.length;
  const distance = numberColumn("distance", data.distance, { length: n });
  const strata = data.exact && groupColumn("exact", data.exact, n);

  const width = caliperWidth(treated, distance, caliper);
  const layout = layoutFor(treated, distance, strata);
  const pairs = makePairs();
  const matched = new Uint8Array(n);
  for (const [row] of pairs) matched[row] = 1;
  const unmatchedTreated: number[] = [];
  for (let row = 0; row < n; row++) {
    if (treated[row] === 1 && matched[row] === 0) unmatchedTreated.push(row);
  }
  return { pairs, unmatchedTreated, caliperWidth: width };

  function makePairs(): Pair[] {
    if (replacement) {
      // without competition for controls, turns matter for the order of the pairs only, and
      // taking the nearest is optimal
      if (method === "optimal" || order !== "closest") {
        const turn = method === "optimal" || order === "closest" ? "as-given" : order;
        return matchWithReplacement(layout, { width, ratio, order: turn });
      }
      const gap = ([t, c]: Pair) => Math.abs(distance[t]! - distance[c]!);
      return matchWithReplacement(layout, { width, ratio, order: "as-given" })
        .sort((a, b) => gap(a) - gap(b));
    }
    if (method === "optimal") return matchOptimal(layout, { width, ratio });
    if (order === "closest") return matchClosest(layout, { width, ratio });
    return matchGreedy(layout, { width, ratio, order });
  }
}

function caliperWidth(treated: Uint8Array, distance: Float64Array, caliper: number): number {
  const one = momentsOf(distance, { group: treated, code: 1 });
  const zero = momentsOf(distance, { group: treated, code: 0 });
  if (one.n === 0 || zero.n === 0) {
    throw new DataError("treated", "1 in some rows and 0 in others", treated);
  }
  if (caliper === Infinity) return Infinity;
  if (one.n < 2 || zero.n < 2) {
    throw new DataError(
      "treated",
      "two rows in each group at least, to measure a caliper",
      treated,
    );
  }
  return caliper * Math.sqrt((one.variance + zero.variance) / 2);
}
