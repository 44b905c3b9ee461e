import type { Analysis } from "../../cohort/model/mod.ts";
import { membership, type PopulationAnswers } from "../../comparisons/populations/mod.ts";
import { countInWords } from "../../disclosure/mod.ts";
import { listText } from "../../words/mod.ts";

/**
 * Which populations the plan has, and whether patients are in several, in none, or in one that a
 * missing value leaves open. Their sizes stand in tables.
 */
export function membershipSentence(
  { n, study }: Analysis,
  { populations }: PopulationAnswers,
): string {
  const all = populations.map(({ population }) => population);
  const parts = all.filter(({ rows }) => rows.length < n);
  if (parts.length === 0) return "The plan has one population: all eligible patients.";
  const { none, several } = membership(all, n);
  const open = parts.filter(({ undecided }) => undecided > 0);
  const told = [
    ...(several > 0 ? [`In several of these parts: ${roughly(several, study.smallestCell)}.`] : []),
    ...(none > 0
      ? [
        `In none of them: ${
          countInWords(none, { of: n, smallestCell: study.smallestCell })
        } of all.`,
      ]
      : []),
    ...(open.length > 0
      ? [
        `A missing value leaves some patients out of ${
          listText(open.map(({ label }) => `“${label}”`))
        }.`,
      ]
      : []),
  ];
  return `Populations: ${all.map(({ label }) => label).join("; ")}. ${told.join(" ")}`.trim();
}

/** A count between populations that overlap, too coarse to be taken from their sizes. */
function roughly(count: number, smallestCell: number): string {
  const step = 2 * smallestCell;
  return count < step ? `fewer than ${step}` : `about ${step * Math.round(count / step)}`;
}
