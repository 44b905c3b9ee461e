import type { ConstantRatio } from "../../competing/subdistribution/mod.ts";
import type { DatedRecurrence } from "../../competing/visits/mod.ts";
import type { BetweenVisits } from "../../sensitivity/between-visits/mod.ts";
import type { SoughtThreshold } from "../../sensitivity/sought/mod.ts";
import { formatNumber, formatRange, levelText } from "../../words/mod.ts";
import { type DisplayTable, table, type TableRow } from "../show/mod.ts";
import type { GroupLabels, TableHeading } from "../items/mod.ts";

/**
 * What patients experience, and what would happen if nobody died first, in one group at one time.
 */
export interface TwoQuantities {
  /** Years after operation. */
  years: number;
  /** 1 = repair. */
  group: 0 | 1;
  /** Cumulative incidence, with every other cause competing. */
  incidence: number;
  /** One minus Kaplan-Meier, other causes taken as censoring. */
  naive: number;
}

/** Cumulative incidence beside one minus Kaplan-Meier, a line a horizon and group. */
export function twoQuantitiesTable(
  heading: TableHeading & { labels: GroupLabels },
  lines: readonly TwoQuantities[],
): DisplayTable {
  const { labels, ...rest } = heading;
  return table({
    ...rest,
    columns: [
      { key: "years", label: "Years" },
      { key: "group", label: "Group", kind: "text" },
      { key: "incidence", label: "Cumulative incidence", kind: "percent" },
      { key: "naive", label: "One minus Kaplan-Meier (overestimates)", kind: "percent" },
    ],
    rows: lines.map(({ years, group, incidence, naive }) => ({
      years,
      group: group === 1 ? labels.repair : labels.replacement,
      incidence,
      naive,
    })),
  });
}

/** Hazard ratios of one event in one design, see {@link twoHazardsTable}. */
export interface TwoHazardLines {
  /** Name of the event. */
  event: string;
  /** How the groups were made alike. */
  design: string;
  /** One a hazard. */
  ratios: readonly ConstantRatio[];
}

/** Cause-specific and subdistribution hazard ratios, with the test of each being constant. */
export function twoHazardsTable(
  heading: TableHeading & { confidence?: number },
  lines: readonly TwoHazardLines[],
): DisplayTable {
  const { confidence = 0.95, ...rest } = heading;
  return table({
    ...rest,
    columns: [
      { key: "event", label: "Event", kind: "text" },
      { key: "model", label: "Model", kind: "text" },
      { key: "ratio", label: "Ratio", kind: "number", digits: 2 },
      { key: "lower", label: `${levelText(confidence)} from`, kind: "number", digits: 2 },
      { key: "upper", label: "to", kind: "number", digits: 2 },
      { key: "pValue", label: "p", kind: "pvalue" },
      { key: "constant", label: "p, proportional", kind: "pvalue" },
    ],
    rows: lines.flatMap(({ event, design, ratios }) =>
      ratios.map(({ kind, hazardRatio: ratio, lower, upper, pValue, proportionalP }) => ({
        event,
        model: `${design}, ${kind}`,
        ratio,
        lower,
        upper,
        pValue,
        constant: proportionalP,
      }))
    ),
  });
}

/**
 * Recurrence dated in every way, a line a group and way: at each horizon, and at `limitsAt` with
 * the limits of the estimate between visits.
 */
export function datedTable(
  heading: TableHeading & {
    labels: GroupLabels;
    horizons: readonly number[];
    /** The horizon of the limits. */
    limitsAt: number;
    confidence?: number;
    /** Whence the limits come. */
    between: BetweenVisits;
  },
  dated: readonly DatedRecurrence[],
): DisplayTable {
  const { labels, horizons, limitsAt, confidence = 0.95, between, ...rest } = heading;
  const { groups = [] } = between.contrasts.find(({ time }) => time === limitsAt) ?? {};
  const level = levelText(confidence);
  const years = `${limitsAt} y`;
  return table({
    ...rest,
    columns: [
      { key: "group", label: "Group", kind: "text" },
      { key: "way", label: "Dated", kind: "text" },
      ...horizons.map((time) => ({
        key: `y${time}`,
        label: `${time} y`,
        kind: "percent" as const,
      })),
      { key: "lower", label: `${years}: ${level} from`, kind: "percent" },
      { key: "upper", label: "to", kind: "percent" },
    ],
    rows: dated.flatMap(({ group, ways }) => {
      const limits = groups.find((one) => one.group === group);
      return ways.map(({ label, role, incidence }): TableRow => ({
        group: group === 1 ? labels.repair : labels.replacement,
        way: label,
        ...Object.fromEntries(horizons.map((time, k) => [`y${time}`, incidence[k] ?? null])),
        lower: role === "estimate" ? limits?.lower ?? null : null,
        upper: role === "estimate" ? limits?.upper ?? null : null,
      }));
    }),
  });
}

/** One measurement and the cut-off sought in it. */
export interface SoughtLine {
  /** Name as readers see it. */
  label: string;
  /** The cut-off found, and its limits. */
  found: SoughtThreshold;
}

/** Cut-offs sought in the data, as they look and corrected for the search; per 100. */
export function soughtTable(heading: TableHeading, lines: readonly SoughtLine[]): DisplayTable {
  return table({
    ...heading,
    columns: [
      { key: "label", label: "Measurement", kind: "text" },
      { key: "threshold", label: "Cut-off", kind: "number", digits: 1 },
      { key: "range", label: "Cut-offs found in resampling", kind: "text" },
      { key: "apparent", label: "Change, as it looks", kind: "number", digits: 1 },
      { key: "corrected", label: "Corrected", kind: "number", digits: 1 },
    ],
    rows: lines.map(({ label, found: { threshold, apparent, corrected, found } }) => ({
      label,
      threshold,
      range: formatRange(found.lower, found.upper, { digits: 1 }),
      apparent: 100 * apparent.estimate,
      corrected: 100 * corrected,
    })),
  });
}

/** How much likelier death was with a recurrence than without, a sentence a group. */
export function deathRateNotes(
  dated: readonly DatedRecurrence[],
  { labels }: { labels: GroupLabels },
): string[] {
  return dated.map(({ group, deathRateRatio }) => {
    const name = group === 1 ? labels.repair : labels.replacement;
    const times = formatNumber(deathRateRatio, { digits: 1 });
    return `${name}: death taken to be ${times} times as likely with a recurrence as without.`;
  });
}
