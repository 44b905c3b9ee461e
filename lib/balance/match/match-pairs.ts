import {
  binaryColumn,
  checkChoice,
  checkDataColumns,
  checkNumber,
  checkWhole,
  DataError,
  groupColumn,
  type Labels,
  momentsOfGroups,
  numberColumn,
  type Numbers,
} from "../../numerics/mod.ts";
import { matchClosest } from "./closest.ts";
import { matchGreedy, type Pair } from "./greedy.ts";
import { layoutFor } from "./layout.ts";
import { matchOptimal, mostInWholeSearch, wholeSearchSize } from "./optimal.ts";
import { matchWithReplacement } from "./with-replacement.ts";

/** What {@link matchPairs} needs. */
export interface MatchData {
  /** 0 or 1, both present. */
  treated: Numbers;
  /** What partners should be close in, such as the linear predictor of a propensity score. */
  score: Numbers;
  /** Partners must have the same label. */
  alike?: Labels;
}

/** How to match; see {@link matchPairs}. */
export interface MatchOptions {
  /** Farthest partners may be apart, in pooled standard deviations of the score; default 0.2. */
  caliper?: number;
  /** Controls wanted for each treated row; default 1. */
  partners?: number;
  /** Whether a control may be the partner of several; default false. */
  reuse?: boolean;
  /** Whose turn comes first. */
  begin?: "highest" | "lowest" | "as-listed" | "closest";
  /** Each row takes its nearest in turn, or all pairs together have the least total distance. */
  search?: "one-by-one" | "whole";
}

/** Matched pairs and who is left. */
export interface Matches {
  /** Rows of treated and control, in the order in which the pairs were made. */
  pairs: Pair[];
  /** Treated rows without any partner, ascending. */
  unmatchedTreated: number[];
  /** The caliper in units of the score. */
  caliperWidth: number;
}

/**
 * Matches each treated to controls near it in one number.
 *
 * One by one (greedy): treated take turns, each taking the nearest control still free. Whole
 * (optimal): as many pairs within the caliper as there can be, with the smallest total difference.
 * Either way a pair is no further apart than `caliper` pooled standard deviations of the score,
 * sqrt((s1^2 + s0^2) / 2) over all rows. Ties: the lower row, whether of treated that come to their
 * turn together or of controls that are equally near; of sets of pairs with equal totals, the whole
 * search returns always the same one.
 *
 * With several `partners`, k, searching one by one goes k rounds, each treated taking one control a
 * round; the whole search makes as many pairs as it can, which may give one treated k controls and
 * another none.
 *
 * Matched pairs estimate the effect among those who could be matched. Analyse them as pairs: limits
 * that ignore the pairing are too wide or too narrow.
 *
 * Cost: O(n) for the sort and O(n log n) at worst one by one; the whole search O(n + pairs of rows
 * within the caliper) in time and memory.
 *
 * @example
 * ```ts
 * import { matchPairs } from "mitral";
 * const { pairs } = matchPairs({ treated: [1, 0, 0], score: [0.4, 0.9, 0.5] }, {
 *   caliper: Infinity,
 * });
 * pairs; // [[0, 2]]
 * ```
 * @param options.caliper In pooled standard deviations, 0.2; Infinity for none.
 * @param options.partners Controls for each treated, 1.
 * @param options.reuse Whether a control may serve several treated, false.
 * @param options.begin Who has the first turn: the "highest" score (the default), the "lowest",
 * "as-listed" (by row), or "closest": whichever pair is closest of all is made next. The whole
 * search has no turns; its pairs come by ascending treated row.
 * @param options.search "one-by-one" (the default) or "whole".
 * @throws {DataError}, also on a name that is not one of these.
 * @see Austin (2011) Pharm Stat 10:150-161 for the caliper; Rosenbaum (1989) JASA 84:1024-1032 for
 * optimal matching.
 */
export function matchPairs(data: MatchData, options: MatchOptions = {}): Matches {
  const { treated, score, layout, width, partners, reuse, begin, search } = checked(data, options);
  const n = treated.length;
  const pairs = makePairs();
  const matched = new Uint8Array(n);
  for (const [row] of pairs) matched[row] = 1;
  const unmatchedTreated: number[] = [];
  for (let row = 0; row < n; row++) {
    if (treated[row] === 1 && matched[row] === 0) unmatchedTreated.push(row);
  }
  return { pairs, unmatchedTreated, caliperWidth: width };

  function makePairs(): Pair[] {
    if (reuse) {
      // without competition for controls, turns matter for the order of the pairs only, and
      // taking the nearest is the best there is
      if (search === "whole" || begin !== "closest") {
        const turn = search === "whole" || begin === "closest" ? "as-listed" : begin;
        return matchWithReplacement(layout, { width, partners, begin: turn });
      }
      const gap = ([t, c]: Pair) => Math.abs(score[t]! - score[c]!);
      return matchWithReplacement(layout, { width, partners, begin: "as-listed" })
        .sort((a, b) => gap(a) - gap(b));
    }
    if (search === "whole") return matchOptimal(layout, { width, partners });
    if (begin === "closest") return matchClosest(layout, { width, partners });
    return matchGreedy(layout, { width, partners, begin });
  }
}

/**
 * How many pairs of rows lie within the caliper, of rows that may be partners, where
 * {@link matchPairs} is to search the whole (the most of any stratum): and how many it takes at
 * most. With more it throws. None are counted where it would not search so. Cost: that of a sort.
 *
 * @throws {DataError} As `matchPairs`.
 */
export function wholeSearch(
  data: MatchData,
  options: MatchOptions = {},
): { pairs: number; most: number } {
  const { layout, width, partners, reuse, search } = checked(data, options);
  const counts = search === "whole" && !reuse;
  return {
    pairs: counts ? wholeSearchSize(layout, { width, partners }) : 0,
    most: mostInWholeSearch,
  };
}

/** What is given, checked and laid out. */
function checked(data: MatchData, options: MatchOptions) {
  refuseRenamed(data, { distance: "score", exact: "alike" });
  checkDataColumns("matchPairs", data, ["treated", "score", "alike"]);
  refuseRenamed(options, {
    ratio: "partners",
    replacement: "reuse",
    order: "begin",
    method: "search",
  });
  const { caliper = 0.2, partners = 1, reuse = false } = options;
  checkNumber("caliper", caliper, (c) => c >= 0, "a number >= 0");
  checkWhole("partners", partners, 1);
  const begin = checkChoice("begin", options.begin ?? "highest", [
    "highest",
    "lowest",
    "as-listed",
    "closest",
  ]);
  const search = checkChoice("search", options.search ?? "one-by-one", ["one-by-one", "whole"]);
  const treated = binaryColumn("treated", data.treated);
  const n = treated.length;
  const score = numberColumn("score", data.score, { length: n });
  const strata = data.alike && groupColumn("alike", data.alike, n);

  const width = caliperWidth(treated, score, caliper);
  const layout = layoutFor(treated, score, strata);
  return { treated, score, layout, width, partners, reuse, begin, search };
}

/** Names that this function once had are refused with the ones they have now. */
function refuseRenamed(given: object, now: Record<string, string>): void {
  for (const [old, name] of Object.entries(now)) {
    if (old in given) throw new DataError(old, `given as "${name}", its name now`, "the old name");
  }
}

function caliperWidth(treated: Uint8Array, score: Float64Array, caliper: number): number {
  const [zero, one] = momentsOfGroups(score, treated);
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
