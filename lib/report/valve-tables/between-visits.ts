import type { BetweenVisits } from "../../sensitivity/bootstrap/mod.ts";
import { limitsHeld } from "../../sensitivity/calibrated/mod.ts";
import { publishedPer100 } from "../../disclosure/mod.ts";
import { levelText, listText } from "../../words/mod.ts";
import { type DisplayTable, table, type TableInput, type TableRow } from "../show/mod.ts";

/**
 * Recurrence between visits in both groups and the difference, at every horizon within the visits of
 * both, per 100.
 */
export function betweenVisitsTable(
  heading: Pick<TableInput, "id" | "title" | "caption" | "notes"> & {
    labels: { repair: string; replacement: string };
    confidence?: number;
  },
  { contrasts }: BetweenVisits,
): DisplayTable {
  const { labels, confidence = 0.95, ...rest } = heading;
  const per100 = (
    { estimate, lower, upper }: { estimate: number; lower: number; upper: number },
  ) => ({
    estimate: publishedPer100(estimate),
    lower: publishedPer100(lower),
    upper: publishedPer100(upper),
  });
  const number = { kind: "number", digits: 1 } as const;
  return table({
    ...rest,
    columns: [
      { key: "years", label: "Years", kind: "number" },
      { key: "group", label: "Group", kind: "text" },
      { key: "estimate", label: "Recurrence", unit: "per 100", ...number },
      { key: "lower", label: `${levelText(confidence)} from`, ...number },
      { key: "upper", label: "to", ...number },
      { key: "p", label: "p", kind: "pvalue" },
    ],
    rows: contrasts.flatMap(({ time, groups, difference }): TableRow[] => [
      ...[...groups].reverse().map(({ group, ...value }) => ({
        years: time,
        group: group === 1 ? labels.repair : labels.replacement,
        ...per100(value),
        p: null,
      })),
      { years: time, group: "Difference", ...per100(difference), p: difference.pValue },
    ]),
  });
}

/** What stands in the way of a difference between visits, or how far it reaches and how sure it is. */
export function betweenVisitsSentence(
  { contrasts, beyond, reason, replicates }: BetweenVisits,
): string {
  switch (reason) {
    case "few-found":
      return "No difference between visits is given: fewer than five recurrences were found in a " +
        "group, and drawing so few again tells nothing of chance.";
    case "no-visits":
      return "No difference between visits is given: in a group no echocardiogram reaches the first " +
        "planned year.";
  }
  const years = (times: readonly number[]) => `${listText(times.map(String))} years`;
  const unreached = beyond.length === 0
    ? ""
    : ` At ${years(beyond)} there is none: in a group no echocardiogram reaches so far.`;
  return `The difference between visits is given at ${
    years(contrasts.map(({ time }) => time))
  }, with ` +
    `limits from ${replicates} draws of the patients, in each of which the score was fitted, the ` +
    `weights were made and the estimate was sought anew.${unreached}${heldSentence()}`;
}

/** How often such limits held the truth, from the group and time in which they did it least. */
function heldSentence(): string {
  const held = limitsHeld().flatMap(({ quantities }) =>
    quantities.filter(({ quantity }) => quantity === "recurrence between visits")
  );
  if (held.length === 0) return "";
  const of100 = held.map(({ coverage }) => Math.round(100 * coverage));
  return ` In ${
    held[0]!.cohorts
  } simulated cohorts with known answers such limits held the truth in ` +
    `${Math.min(...of100)} to ${Math.max(...of100)} of 100.`;
}
