import type { MeasuredRow } from "../../cohort/analysis/mod.ts";
import { formatNumber } from "../../words/mod.ts";
import type { GroupLabels, TableHeading } from "../items/mod.ts";
import { type DisplayTable, table } from "../show/mod.ts";

/**
 * Median and quartiles of measurements by mechanism and group. Extremes are one patient's and are
 * not shown, nor is anything where few of a group have a value.
 */
export function measuredTable(
  { id, title, caption, notes, smallestCell, labels }:
    & TableHeading
    & { smallestCell: number; labels: GroupLabels },
  rows: readonly MeasuredRow[],
): DisplayTable {
  const text = ({ n, lower, median, upper }: MeasuredRow["repair"]) => {
    if (n < smallestCell) return "–";
    const [low, middle, high] = [lower, median, upper].map((value) =>
      formatNumber(value, { digits: 0 })
    );
    return `${middle} [${low} to ${high}]`;
  };
  return table({
    id,
    title,
    caption,
    ...(notes && { notes }),
    columns: [
      { key: "measurement", label: "Measurement" },
      { key: "level", label: "Mechanism" },
      { key: "repair", label: labels.repair },
      { key: "replacement", label: labels.replacement },
    ],
    rows: rows.map(({ label, unit, level, repair, replacement }) => ({
      measurement: unit === null ? label : `${label}, ${unit}`,
      level,
      repair: text(repair),
      replacement: text(replacement),
    })),
  });
}
