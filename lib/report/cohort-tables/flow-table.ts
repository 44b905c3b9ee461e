import { type CompletenessRow, followUpCompleteness } from "../../cohort/follow-up/mod.ts";
import type { Analysis, Cohort } from "../../cohort/model/mod.ts";
import { boundedCount, isSmall } from "../../disclosure/mod.ts";
import { countText } from "../../words/mod.ts";
import {
  endsInWords,
  endsKeys,
  endsLines,
  type FollowUpEnds,
  publishableEnds,
} from "./follow-up-ends.ts";
import { type DisplayTable, table, type TableHeading, type TableRow } from "../show/mod.ts";

/** The flow of patients as it may be published: the content of a flow figure, and its table. */
export interface PublishableFlow {
  /** Everybody in the file. */
  start: { label: string; count: number };
  /** One a reason for leaving out. */
  steps: {
    excluded: { label: string; count: number }[];
    remaining: { label: string; count: number };
  }[];
  /** Both groups, with what was done in each and how their follow-up ended. */
  groups: {
    label: string;
    count: number;
    role: "repair" | "replacement";
    lines: string[];
    ends: FollowUpEnds;
  }[];
  /** What became of visits and single cells, for beneath the boxes. */
  unused: string[];
}

/**
 * The flow diagram's counts, with reasons rarer than the study's smallest cell joined to the next
 * rarest, so that no joined count is below it and every sum still holds.
 *
 * @param cohort The cohort as read, whose log counts visits and cells that were not used.
 * @param completeness How follow-up ended in each group: default, of this analysis.
 */
export function publishableFlow(
  analysis: Analysis,
  cohort: Pick<Cohort, "log">,
  completeness: readonly CompletenessRow[] = followUpCompleteness(analysis),
): PublishableFlow {
  const [everyone, ...steps] = analysis.flow;
  const smallest = analysis.study.smallestCell;
  const excluded = joinRare(
    steps.filter((step) => step.excluded > 0)
      .map(({ reason, excluded }) => ({ label: reason, count: excluded })),
    smallest,
  );
  // a single rare exclusion would follow from the numbers before and after it
  const fewExcluded = excluded.length === 1 && isSmall(excluded[0]?.count ?? 0, smallest);
  const { conversions } = analysis.procedures;
  const converted = (arm: "repair" | "replacement") =>
    conversions.filter(({ intended }) => intended === arm)
      .reduce((sum, { count }) => sum + count, 0);
  const changed = (arm: "repair" | "replacement") =>
    analysis.groups.by === "intended" && converted(arm) > 0
      ? [`${boundedCount(converted(arm), smallest)} left theatre with a ${other[arm]}`]
      : [];
  return {
    start: fewExcluded
      ? { label: `Patients analysed (fewer than ${smallest} others excluded)`, count: analysis.n }
      : { label: "Patients in the file", count: everyone?.remaining ?? analysis.n },
    steps: excluded.length === 0 || fewExcluded
      ? []
      : [{ excluded, remaining: { label: "Patients analysed", count: analysis.n } }],
    groups: completeness.map((row) => {
      const ends = publishableEnds(row, smallest);
      return {
        label: analysis.groups.labels[row.arm],
        count: row.patients,
        role: row.arm,
        lines: [...changed(row.arm), ...endsLines(ends)],
        ends,
      };
    }),
    unused: unusedLines(cohort, smallest),
  };
}

const other = { repair: "replacement", replacement: "repair" } as const;

/** Visits and cells that were not used, where any were; patients do not fall for either. */
function unusedLines({ log }: Pick<Cohort, "log">, smallest: number): string[] {
  const visits = log.find(({ table }) => table === "visits");
  const cells = log.reduce((sum, { cellsBlanked }) => sum + cellsBlanked, 0);
  const lines: string[] = [];
  if (visits && visits.rowsSetAside > 0) {
    const unusable = boundedCount(visits.rowsSetAside, smallest);
    lines.push(`Echo visits: ${countText(visits.rowsRead)} in the file, ${unusable} not usable`);
  }
  if (cells > 0) {
    lines.push(
      `Single values that cannot be true, taken as missing: ${boundedCount(cells, smallest)}`,
    );
  }
  return lines;
}

/** The flow as a table: who was left out, who remained, and how follow-up of each group ended. */
export function flowTable(
  heading: TableHeading,
  flow: PublishableFlow,
): DisplayTable {
  let remaining = flow.start.count;
  const rows: TableRow[] = [{ step: flow.start.label, excluded: null, remaining }];
  for (const { excluded } of flow.steps) {
    for (const { label, count } of excluded) {
      remaining -= count;
      rows.push({ step: `Excluded: ${label}`, excluded: count, remaining });
    }
  }
  for (const { label, count, ends } of flow.groups) {
    rows.push({ step: label, excluded: null, remaining: count });
    for (const key of endsKeys) {
      rows.push({ step: `${label}: ${endsInWords[key]}`, excluded: null, remaining: ends[key] });
    }
  }
  return table({
    ...heading,
    columns: [
      { key: "step", label: "Step" },
      { key: "excluded", label: "Excluded", kind: "number" },
      { key: "remaining", label: "Patients", kind: "number" },
    ],
    rows,
    notes: [...heading.notes ?? [], ...flow.unused.map((line) => `${line}.`)],
  });
}

/** Joins counts below the smallest cell with the next rarest until none is below it. */
export function joinRare(
  counts: readonly { label: string; count: number }[],
  smallest: number,
): { label: string; count: number }[] {
  const joined = counts.map((entry, place) => ({ ...entry, place }));
  for (;;) {
    const rarest = joined.reduce(
      (low, entry, i) => entry.count < (joined[low]?.count ?? Infinity) ? i : low,
      0,
    );
    const rare = joined[rarest];
    if (!rare || rare.count >= smallest || joined.length === 1) break;
    joined.splice(rarest, 1);
    const partner = joined.reduce((low, entry) => entry.count < low.count ? entry : low);
    partner.label = rare.place < partner.place
      ? `${rare.label}, or ${partner.label}`
      : `${partner.label}, or ${rare.label}`;
    partner.count += rare.count;
    partner.place = Math.min(partner.place, rare.place);
  }
  return joined.sort((a, b) => a.place - b.place).map(({ label, count }) => ({ label, count }));
}
