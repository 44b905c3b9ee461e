import type { BalanceTable } from "../../balance/tables/mod.ts";
import type { MatchedSample, WeightedSample } from "../../balance/samples/mod.ts";
import type { Overlap } from "../../balance/alike/mod.ts";
import type { Analysis } from "../../cohort/model/mod.ts";
import { countInWords } from "../../disclosure/mod.ts";
import type { GroupPhrases } from "../../study/plan/mod.ts";
import { countText, formatNumber, inSentence, listText } from "../../words/mod.ts";
import { finerComparisons } from "../tables/mod.ts";

/** A way in which the groups were made alike. */
export type AdjustedDesign = "matched" | "weighted";

const keys = { matched: "afterMatching", weighted: "afterWeighting" } as const;
const openings = { matched: "After matching", weighted: "After weighting" } as const;

/** How far the groups' scores overlap, and how many patients hardly had a choice. */
export function overlapSentence(
  { common, extreme, cStatistic }: Overlap,
  { n, smallestCell }: { n: number; smallestCell: number },
): string {
  const two = (value: number) => formatNumber(value, { digits: 2 });
  const few = countInWords(extreme.treated + extreme.controls, { smallestCell, of: n });
  return `Both groups have scores from ${two(common.lower)} to ${two(common.upper)}. ` +
    `${few} of ${countText(n)} patients hardly had a choice (score below 0.05 or above 0.95). ` +
    `c-statistic ${two(cStatistic.estimate)}.`;
}

/** How many pairs were made, and how many patients of each group have no partner. */
export function pairsSentence(
  { pairs, unmatched }: Pick<MatchedSample, "pairs" | "unmatched">,
  phrases: GroupPhrases,
  smallestCell: number,
): string {
  const left = (rows: ArrayLike<number>) => countInWords(rows.length, { smallestCell });
  return `${countText(pairs.length)} pairs. Without a partner: ${
    left(unmatched.repair)
  } patients ` +
    `with ${phrases.repair} and ${left(unmatched.replacement)} with ${phrases.replacement}.`;
}

/**
 * What a design left unequal, every imbalance counted: each characteristic by name and size, or how
 * many, and in how many finer comparisons the groups differ.
 *
 * @param joint The same balance with squares and products.
 */
export function balanceSentence(
  balance: BalanceTable,
  joint: BalanceTable,
  design: AdjustedDesign,
): string {
  const key = keys[design];
  const beyond = balance.rows.filter((row) => Math.abs(row[key] ?? 0) > 0.1);
  const size = (row: BalanceTable["rows"][number]) =>
    formatNumber(Math.abs(row[key] ?? NaN), { digits: 2 });
  const named = beyond.map((row) => `${row.label} (${size(row)})`);
  const own = beyond.length === 0
    ? "no measured characteristic differs by more than a tenth of a standard deviation"
    : beyond.length <= 3
    ? `${listText(named)} still ${
      beyond.length === 1 ? "differs" : "differ"
    } by more than a tenth ` +
      "of a standard deviation"
    : `${beyond.length} of ${balance.rows.length} measured characteristics still differ by more ` +
      `than a tenth of a standard deviation, the largest by ${
        formatNumber(balance.largest[key], { digits: 2 })
      }`;
  return `${openings[design]}, ${own}; ${productsCounted(balance, joint, key)}.`;
}

/** How many equally weighted patients the weights are worth, group by group. */
export function effectiveSentence(
  { repair, replacement }: Pick<WeightedSample, "repair" | "replacement">,
  phrases: GroupPhrases,
): string {
  const worth = ({ effective }: WeightedSample["repair"]) => countText(Math.round(effective));
  return `Weighted, the patients are worth ${worth(repair)} with ${phrases.repair} and ` +
    `${worth(replacement)} with ${phrases.replacement}, were all to count alike.`;
}

/**
 * In how much the groups were unlike before anything was done about it, the most unlike by name.
 */
export function unlikeSentence({ rows, aboveTenth }: BalanceTable): string {
  const size = ({ before }: BalanceTable["rows"][number]) => Math.abs(before ?? 0);
  const [first, ...others] = [...rows].filter((row) => row.kind !== "missing")
    .sort((a, b) => size(b) - size(a)).slice(0, 3).map(({ label }) => inSentence(label));
  const beyond = aboveTenth.before ?? 0;
  if (beyond === 0 || first === undefined) {
    return "Before operation the groups differed in no measured characteristic by more than a " +
      "tenth of a standard deviation.";
  }
  return `Before operation the groups differed by more than a tenth of a standard deviation in ${beyond} of ` +
    `${rows.length} measured characteristics, most in ${listText([first, ...others])}.`;
}

function productsCounted(
  balance: BalanceTable,
  joint: BalanceTable,
  key: (typeof keys)[AdjustedDesign],
): string {
  const { comparisons, over } = finerComparisons(balance, joint);
  const count = over(key);
  const finer = `${comparisons} finer comparisons (their squares and products)`;
  if (count === 0) return `none of the ${finer} does`;
  return `${count} of ${finer} ${count === 1 ? "does" : "do"}`;
}

/** What stands under a table of pairs that were made once, where results are pooled over sets. */
export function ofMeanScore({ completions }: Pick<Analysis, "completions">): string[] {
  return completions?.length
    ? [
      "Made once, by the mean score of the completed sets: what is planned differs a little here " +
      "from the results that are pooled over the sets.",
    ]
    : [];
}

/** What is done about missing covariates where the groups are made alike, by the plan's method. */
export function missingSentence({ completions, study }: Analysis): string {
  switch (study.missing.method) {
    case "impute":
      return completions?.length
        ? "Missing covariates are imputed: the score is fitted, and weights and pairs are made, in " +
          "each completed set, and estimates are pooled. Balance is the mean over the sets."
        : "The plan has missing covariates imputed.";
    case "complete":
      return "Patients with a covariate missing are left out, as the plan says.";
    case "mean-and-mark":
      return "A missing number takes the mean of the others and is marked, as the plan says; part " +
        "of the confounding by it stays.";
  }
}
