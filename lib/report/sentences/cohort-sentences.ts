import { extentOf } from "../../numerics/mod.ts";
import type { CompletenessRow } from "../../cohort/follow-up/mod.ts";
import { type Analysis, type Arm, type Cohort, numericColumn } from "../../cohort/model/mod.ts";
import { boundInWords, isSmall } from "../../disclosure/mod.ts";
import { endsKeys, type PublishableFlow } from "../cohort-tables/mod.ts";
import type { GroupPhrases } from "../../study/plan/mod.ts";
import { countText, formatEstimate, formatPercent, listText } from "../../words/mod.ts";

/**
 * How many were analysed, of how many, in which group. The number in the file is that of the flow
 * diagram, and left out where the diagram leaves it out, so that no small count can be worked out.
 */
export function whoWasStudied(
  { n, groups: { phrases, counts } }: Pick<Analysis, "n" | "groups">,
  flow: { start: { count: number }; steps: readonly unknown[] },
): string {
  const of = flow.steps.length > 0 ? ` of ${countText(flow.start.count)} in the file` : "";
  return `${countText(n)} patients${of} were analysed: ${countText(counts.repair)} after ` +
    `${phrases.repair} and ${countText(counts.replacement)} after ${phrases.replacement}.`;
}

/**
 * From when to when they were operated on, until when they were followed, and how much of the
 * possible follow-up was had: by group where the groups differ by a whole per cent.
 */
export function followedSentence(
  { columns, groups: { phrases }, study: { timeZero } }: Pick<Analysis, "columns"> & {
    groups: { phrases: Record<Arm, string> };
    study: { timeZero: Pick<Analysis["study"]["timeZero"], "closingYear"> };
  },
  completeness: readonly CompletenessRow[],
): string {
  const years = Array.from(numericColumn({ columns }, "op_year")).filter((year) =>
    !Number.isNaN(year)
  );
  const [first, last] = extentOf(years);
  const operated = years.length === 0
    ? ""
    : `Operated on ${first === last ? `in ${first}` : `from ${first} to ${last}`}. `;
  const shares = completeness.filter((row) => !Number.isNaN(row.completeness)).map((row) => ({
    share: formatPercent(row.completeness, { digits: 0 }),
    after: phrases[row.arm],
  }));
  const same = new Set(shares.map(({ share }) => share)).size === 1;
  const complete = same
    ? ` and is ${shares[0]!.share} complete`
    : shares.length > 0
    ? ` and is ${listText(shares.map(({ share, after }) => `${share} complete after ${after}`))}`
    : "";
  const sought = Math.floor(timeZero.closingYear);
  return `${operated}Follow-up was last sought in ${sought}${complete}.`;
}

/** How follow-up ended in each group: the counts of the flow diagram, in words. */
export function endsSentence(
  { groups }: Pick<PublishableFlow, "groups">,
  phrases: GroupPhrases,
): string {
  const parts = groups.map(({ role, ends }) =>
    `after ${phrases[role]} ${
      listText(endsKeys.map((key) => `${boundInWords(ends[key])} ${endsVerbs[key]}`))
    }`
  );
  return `How follow-up ended: ${parts.join("; ")}.`;
}

const endsVerbs = {
  died: "died",
  followed: "were followed into the study's last year",
  lostEarly: "were last seen alive over a year before its end",
};

/** What was found unequal between the groups in how they were seen. */
export function unequalSentence(warnings: readonly string[]): string {
  if (warnings.length === 0) {
    return "Between the groups, completeness of follow-up differs by at most 5 in 100, the rate of " +
      "echo visits by at most a quarter, and no share of missing values by more than 10 in 100.";
  }
  return warnings.length === 1
    ? "One difference between the groups in how they were seen is too large to pass over."
    : `${warnings.length} differences between the groups in how they were seen are too large to ` +
      "pass over.";
}

/** Says that everybody in the file was analysed or left out, and throws where somebody was lost. */
export function accountedFor(
  { groups: { counts }, excluded }: Pick<Analysis, "groups" | "excluded">,
  cohort: Pick<Cohort, "n">,
): string {
  if (counts.repair + counts.replacement + excluded.length !== cohort.n) {
    throw new Error("patients in the file are not all accounted for");
  }
  return "Analysed and left out add up to the patients in the file.";
}

/** Median follow-up with its limits, in a sentence. */
export function medianFollowUpSentence(
  found: { estimate: number; lower: number; upper: number },
): string {
  return `Half of the patients were followed for at least ${
    formatEstimate(found, { digits: 1 })
  } years.`;
}

/** The commonest mechanism of each group. */
export function commonestSentence(
  { repair, replacement }: { repair: string | null; replacement: string | null },
  phrases: GroupPhrases,
): string {
  const word = (label: string | null) => (label ?? "not recorded").toLowerCase();
  return repair === replacement
    ? `The commonest mechanism is the same in both groups: ${word(repair)}.`
    : `The commonest mechanism is ${word(repair)} with ${phrases.repair}, and ` +
      `${word(replacement)} with ${phrases.replacement}.`;
}

/** How many patients a column that was worked out has a value for. */
export function knownSentence(
  { label, values, smallestCell }: {
    label: string;
    values: ArrayLike<number>;
    smallestCell: number;
  },
): string {
  const known = Array.from(values).filter((value) => !Number.isNaN(value)).length;
  const n = values.length;
  // how many lack a value is as telling as how many have one
  return isSmall(n - known, smallestCell) || isSmall(known, smallestCell)
    ? `${label} can be worked out for ${2 * known > n ? "nearly all" : "hardly any"} patients.`
    : `${label} can be worked out for ${countText(known)} of ${countText(n)} patients.`;
}
