import type { BetweenVisits } from "../../sensitivity/between-visits/mod.ts";
import type { HeldBetweenVisits } from "../../sensitivity/calibrated/mod.ts";
import { publishedPer100 } from "../../disclosure/mod.ts";
import { levelText, listText } from "../../words/mod.ts";
import {
  type DisplayTable,
  type GroupLabels,
  table,
  type TableHeading,
  type TableRow,
} from "../show/mod.ts";

/**
 * Recurrence between visits in both groups and the difference, at every horizon within the visits
 * of both, per 100.
 */
export function betweenVisitsTable(
  heading: TableHeading & {
    labels: GroupLabels;
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

/**
 * What stands in the way of a difference between visits, or how far it reaches and how sure it is.
 */
export function betweenVisitsSentence(
  { contrasts, beyond, unsound, reason, replicates, cohorts, held }: HeldBetweenVisits,
): string {
  const none = "No difference between visits is given: ";
  if (reason === "few-found") {
    return `${none}fewer than five recurrences were found in a group, and drawing so few again ` +
      "tells nothing of chance.";
  }
  if (reason === "no-visits") {
    return `${none}in a group no echocardiogram reaches the first planned year.`;
  }
  const years = (times: readonly number[]) =>
    `${listText(times.map(String))} ${times.join() === "1" ? "year" : "years"}`;
  const tried = `in ${cohorts} simulated cohorts with known answers`;
  const given = contrasts.length === 0 ? [] : [
    `The difference between visits is given at ${years(contrasts.map(({ time }) => time))}, with ` +
    `limits from ${replicates} draws of the patients, in each of which the score was fitted, the ` +
    "weights were made and the estimate was sought anew.",
    `Such limits held the truth in ${
      held[0] === held[1] ? held[0] : `${held[0]} to ${held[1]}`
    } of 100 ${tried}.`,
  ];
  const left = unsound.length === 0 ? [] : [
    `At ${
      years(unsound)
    } none is given, since there, ${tried}, the limits held the truth too seldom.`,
  ];
  const unreached = beyond.length === 0 ? [] : [
    `At ${years(beyond)} none is given, since in a group no echocardiogram reaches so far.`,
  ];
  return [...given, ...left, ...unreached].join(" ");
}
