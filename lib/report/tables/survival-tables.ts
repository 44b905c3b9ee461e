import type { RestrictedMeanDifference } from "../../survival/curve/mod.ts";
import type { GroupHazardRatio, GroupRatioByPeriod } from "../../survival/groups/mod.ts";
import { formatP, levelText } from "../../words/mod.ts";
import { type DisplayTable, table } from "../show/mod.ts";
import type { GroupLabels, TableColumn, TableHeading } from "../items/mod.ts";

const months = 12;

/** A hazard ratio of one design, with the patients it applies to. */
export interface HazardLine {
  /** How the groups were made alike. */
  design: string;
  /** As `estimandInWords` says it. */
  whom: string;
  /** The ratio with its limits. */
  found: GroupHazardRatio;
}

/**
 * Hazard ratios of the two groups, one line a design, each with its test of one ratio throughout.
 */
export function hazardTable(
  heading: TableHeading & { confidence?: number },
  lines: readonly HazardLine[],
): DisplayTable {
  const { confidence = 0.95, ...rest } = heading;
  return table({
    ...rest,
    columns: [
      { key: "design", label: "Design", kind: "text" },
      { key: "whom", label: "Applies to", kind: "text" },
      ...ratioColumns(confidence),
      { key: "proportional", label: "p for one ratio throughout", kind: "pvalue" },
    ],
    rows: lines.map((
      { design, whom, found: { hazardRatio, lower, upper, pValue, proportionalP } },
    ) => (
      { design, whom, ratio: hazardRatio, lower, upper, pValue, proportional: proportionalP }
    )),
  });
}

/** Hazard ratios of the periods into which follow-up was divided, and whether they differ. */
export function periodTable(
  heading: TableHeading & { confidence?: number },
  found: GroupRatioByPeriod,
): DisplayTable {
  const { confidence = 0.95, notes = [], ...rest } = heading;
  return table({
    ...rest,
    columns: [{ key: "period", label: "Period", kind: "text" }, ...ratioColumns(confidence)],
    rows: found.periods.map(({ from, to, hazardRatio: ratio, lower, upper, pValue }) => (
      { period: periodText(from, to), ratio, lower, upper, pValue }
    )),
    notes: [...notes, `Do they differ? ${formatP(found.equalityP)}.`],
  });
}

/** Years lived within a horizon under one design. */
export interface YearsOfLifeLine {
  /** How the groups were made alike. */
  design: string;
  /** For which patients the answer is. */
  whom: string;
  /** Group 1 is repair. */
  found: RestrictedMeanDifference;
}

/** Years lived within a horizon in both groups, and the difference in months, one line a design. */
export function yearsOfLifeTable(
  heading: TableHeading & { confidence?: number; labels: GroupLabels },
  lines: readonly YearsOfLifeLine[],
): DisplayTable {
  const { labels, confidence = 0.95, ...rest } = heading;
  const years = { unit: "years", kind: "number", digits: 2 } as const;
  const inMonths = { unit: "months", kind: "number", digits: 1 } as const;
  return table({
    ...rest,
    columns: [
      { key: "design", label: "Design", kind: "text" },
      { key: "whom", label: "Applies to", kind: "text" },
      { key: "repair", label: labels.repair, ...years },
      { key: "replacement", label: labels.replacement, ...years },
      { key: "estimate", label: "Difference", ...inMonths },
      { key: "lower", label: `${levelText(confidence)} from`, ...inMonths },
      { key: "upper", label: "to", ...inMonths },
      { key: "pValue", label: "p", kind: "pvalue" },
    ],
    rows: lines.map(({ design, whom, found: { groups, difference } }) => {
      const [replacement = NaN, repair = NaN] = groups.map(({ estimate }) => estimate);
      const { estimate, lower, upper, pValue } = difference;
      return {
        design,
        whom,
        repair,
        replacement,
        estimate: months * estimate,
        lower: months * lower,
        upper: months * upper,
        pValue,
      };
    }),
  });
}

function ratioColumns(confidence: number): TableColumn[] {
  return [
    { key: "ratio", label: "Hazard ratio", kind: "number", digits: 2 },
    { key: "lower", label: `${levelText(confidence)} from`, kind: "number", digits: 2 },
    { key: "upper", label: "to", kind: "number", digits: 2 },
    { key: "pValue", label: "p", kind: "pvalue" },
  ];
}

/** A period of follow-up, its ends in days where they lie within two years, in years beyond. */
function periodText(from: number, to: number): string {
  const at = (years: number) => years < 2 ? `day ${Math.round(365.25 * years)}` : `${years} years`;
  if (from === 0) return `up to ${at(to)}`;
  return to === Infinity ? `after ${at(from)}` : `${at(from)} to ${at(to)}`;
}
