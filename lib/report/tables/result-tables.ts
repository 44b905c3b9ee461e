import { levelText, tooFewToTest } from "../../words/mod.ts";
import { boundedCount, publishablePart } from "../../disclosure/mod.ts";
import {
  type DisplayTable,
  type Finding,
  finding,
  type FindingInput,
  type Note,
  note,
  table,
  type TableRow,
} from "../show/mod.ts";
import { hundredfold, limitColumns, type ShownContrast } from "../pair-tables/mod.ts";
import { effectiveMeans } from "../../words/mod.ts";
import type { Limits } from "../../numerics/mod.ts";
import type { GroupLabels, TableHeading } from "../items/mod.ts";

/**
 * Results of two groups at each horizon, and their difference, one line each.
 *
 * Differences are per 100 patients, repair minus replacement. Numbers at risk below `smallestCell`
 * print as a bound, and so do those that would leave so few of a larger number at risk that is
 * published for the same patients. Under weights they are effective numbers, and a note says so.
 */
export function contrastTable(
  heading: TableHeading & {
    /** What the percentages are of, such as "Alive". */
    quantity: string;
    labels: GroupLabels;
    smallestCell?: number;
    confidence?: number;
    /**
     * Other endpoints of the same patients at the same times whose numbers at risk are published:
     * the difference would tell how few were never at risk of this one.
     */
    within?: readonly (readonly ShownContrast[])[];
  },
  contrasts: readonly ShownContrast[],
): DisplayTable {
  const { quantity, labels, smallestCell = 1, confidence = 0.95, within = [], ...rest } = heading;
  const atRiskOf = (endpoint: readonly ShownContrast[], time: number, code: number) =>
    endpoint.filter((candidate) => candidate.time === time)
      .flatMap(({ groups }) => groups.filter(({ group }) => Number(group) === code))
      .map((group) => Math.round(group.atRisk));
  const rows = contrasts.flatMap(({ time, groups, difference }): TableRow[] => [
    ...[1, 0].map((code) => {
      const group = groups.find((candidate) => Number(candidate.group) === code);
      const label = code === 1 ? labels.repair : labels.replacement;
      return {
        years: time,
        group: label,
        ...(group ? hundredfold(group) : { estimate: null, lower: null, upper: null }),
        atRisk: group
          ? publishablePart(
            Math.round(group.effectiveAtRisk ?? group.atRisk),
            within.flatMap((endpoint) => atRiskOf(endpoint, time, code)),
            smallestCell,
          )
          : null,
        p: null,
      };
    }),
    {
      years: time,
      group: "Difference",
      ...hundredfold(difference),
      atRisk: null,
      p: difference.pValue,
    },
  ]);
  const level = levelText(confidence);
  const effective = contrasts.some(({ groups }) =>
    groups.some(({ effectiveAtRisk }) => effectiveAtRisk !== undefined)
  );
  return table({
    ...rest,
    notes: [...rest.notes ?? [], ...(effective ? [`${effectiveMeans}.`] : [])],
    columns: [
      { key: "years", label: "Years", kind: "number" },
      { key: "group", label: "Group", kind: "text" },
      { key: "estimate", label: quantity, unit: "per 100", kind: "number", digits: 1 },
      { key: "lower", label: `${level} from`, kind: "number", digits: 1 },
      { key: "upper", label: "to", kind: "number", digits: 1 },
      { key: "atRisk", label: effective ? "Effective at risk" : "At risk", kind: "number" },
      { key: "p", label: "p", kind: "pvalue" },
    ],
    rows,
  });
}

/** One line of a {@link ratioTable}: a ratio of one model, with what the model was. */
export interface RatioLine {
  /** Name of the model. */
  model: string;
  /** What is compared with what. */
  term: string;
  /** The ratio. */
  ratio: number;
  /** Lower limit. */
  lower: number;
  /** Upper limit. */
  upper: number;
  /** Two-sided p value. */
  pValue: number;
}

/** Hazard or subdistribution hazard ratios, one line a model. */
export function ratioTable(
  heading: TableHeading & { quantity: string; confidence?: number },
  lines: readonly RatioLine[],
): DisplayTable {
  const { quantity, confidence = 0.95, ...rest } = heading;
  return table({
    ...rest,
    columns: [
      { key: "model", label: "Model", kind: "text" },
      { key: "term", label: "Comparison", kind: "text" },
      { key: "ratio", label: quantity, kind: "number", digits: 2 },
      { key: "lower", label: `${levelText(confidence)} from`, kind: "number", digits: 2 },
      { key: "upper", label: "to", kind: "number", digits: 2 },
      { key: "pValue", label: "p", kind: "pvalue" },
    ],
    rows: lines.map((line) => ({ ...line })),
  });
}

/** A line of a {@link ratioTable} from a fitted model's term. */
export function ratioLine(
  model: string,
  fit: {
    terms: readonly {
      name: string;
      hazardRatio: number;
      lower: number;
      upper: number;
      pValue: number;
    }[];
  },
  name: string,
  term: string,
): RatioLine {
  const found = fit.terms.find((candidate) => candidate.name === name);
  if (!found) throw new Error(`The model has no term "${name}"`);
  const { hazardRatio: ratio, lower, upper, pValue } = found;
  return { model, term, ratio, lower, upper, pValue };
}

/** A subgroup's two differences and their interaction, with the line that divides the patients. */
export interface SubgroupLine {
  /** Whom it is about. */
  label: string;
  /** Where the cut-off comes from. */
  source: string;
  /** What was found on either side. */
  found: {
    /** Of the patients on either side; null where they would tell of too few. */
    counts: { inside: number | null; outside: number | null };
    inside: Pick<ShownContrast, "difference">;
    outside: Pick<ShownContrast, "difference">;
    interaction: Limits & { pValue: number; tooFew: boolean };
  };
}

/** Differences inside and outside each subgroup, and whether they differ, one line each. */
export function subgroupTable(
  heading: TableHeading & { smallestCell?: number; confidence?: number },
  lines: readonly SubgroupLine[],
): DisplayTable {
  const { smallestCell = 1, confidence = 0.95, ...rest } = heading;
  const rows = lines.flatMap(({ label, source, found }): TableRow[] => {
    const line = (side: string, value: Limits, n: number | null, p: number | string | null) => ({
      subgroup: label,
      side,
      n: n === null ? null : boundedCount(n, smallestCell),
      ...hundredfold(value),
      p,
      source,
    });
    const { counts, inside, outside, interaction } = found;
    return [
      line("yes", inside.difference, counts.inside, null),
      line("no", outside.difference, counts.outside, null),
      line(
        "yes against no",
        interaction,
        null,
        interaction.tooFew ? tooFewToTest : interaction.pValue,
      ),
    ];
  });
  return table({
    ...rest,
    columns: [
      { key: "subgroup", label: "Cut-off", kind: "text" },
      { key: "side", label: "Side", kind: "text" },
      { key: "n", label: "Patients", kind: "number" },
      ...limitColumns(confidence),
      { key: "p", label: "p for interaction", kind: "pvalue" },
      { key: "source", label: "Where the cut-off came from", kind: "text" },
    ],
    rows,
  });
}

/** Rows of counts with those too small to publish bounded. */
export function maskedRows<Key extends string>(
  rows: readonly ({ reason: string } & Record<Key, number>)[],
  counts: readonly Key[],
  smallestCell: number,
): TableRow[] {
  return rows.map((row) => ({
    reason: row.reason,
    ...Object.fromEntries(counts.map((key) => [key, boundedCount(row[key], smallestCell)])),
  }));
}

/**
 * A finding from a contrast, in the plan's words for the groups: repair first, so that differences
 * read repair minus replacement.
 *
 * Where the data hold no interval there is nothing to claim, and a note for the section's heading
 * says why: follow-up that does not reach the horizon in both groups, or no event to compare.
 */
export function findingOf(
  contrast: ShownContrast,
  about:
    & Omit<FindingInput, "horizon" | "groups" | "difference">
    & {
      phrases: { repair: string; replacement: string };
      /** Left out where the groups of several populations would tell a small count. */
      counts?: readonly [repair: number, replacement: number];
    },
): Finding | Note {
  const { phrases, counts, id, endpoint, quantity, design, estimand, tableId, figureId } = about;
  const { headline, confidence, smallestThatMatters, population } = about;
  const groups = [1, 0].map((code) => {
    const group = contrast.groups.find((candidate) => Number(candidate.group) === code);
    if (!group) throw new Error(`The contrast has no group ${code}`);
    const { estimate, lower, upper } = group;
    const label = code === 1 ? phrases.repair : phrases.replacement;
    const n = counts?.[code === 1 ? 0 : 1];
    return { label, estimate, lower, upper, ...(n === undefined ? {} : { n }) };
  });
  const [repair, replacement] = groups;
  if (!repair || !replacement) throw new Error("unreachable: two groups were built");
  const nothing = whyNothing(contrast);
  if (nothing) {
    const years = contrast.time === 1 ? "1 year" : `${contrast.time} years`;
    const text = `${outcomeNames[quantity]} ${years} after operation: ${nothing}`;
    return note({ id, about: "summary", text });
  }
  return finding({
    id,
    endpoint,
    quantity,
    ...(population ? { population } : {}),
    design,
    estimand,
    horizon: contrast.time,
    groups: [repair, replacement],
    difference: contrast.difference,
    tableId,
    figureId,
    headline,
    confidence,
    smallestThatMatters,
  });
}

/** Why a contrast supports no statement, if it does not. */
function whyNothing({ groups, difference }: ShownContrast): string | undefined {
  if (groups.some(({ estimate }) => Number.isNaN(estimate))) {
    return "cannot be told, because follow-up does not reach that far in both groups.";
  }
  const known = [...groups, difference].every(({ lower, upper }) => lower <= upper);
  if (!known || Number.isNaN(difference.pValue)) {
    return "nothing can be said of a difference, because neither group shows how far chance reaches " +
      "(no event, or an event in everybody).";
  }
  return undefined;
}

const outcomeNames: Record<FindingInput["quantity"], string> = {
  alive: "Alive",
  died: "Deaths",
  "valve failure": "Valve failure",
  recurrence: "Recurrent regurgitation",
  "recurrence between visits": "Recurrent regurgitation, found or not",
  "alive without recurrence": "Alive without recurrence",
  reoperation: "Reoperation",
};
