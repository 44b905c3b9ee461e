import { type DisplayTable, type GroupLabels, table, type TableHeading } from "../show/mod.ts";
import { differenceColumns, hundredfold, type ShownContrast } from "../pair-tables/mod.ts";

/** The risk of one event by a time in both groups. */
export interface EventRisk {
  /** Name as readers see it. */
  label: string;
  /** Both groups and their difference. */
  contrast: ShownContrast;
}

/** The risk of each event in both groups, and the difference, per 100; one line an event. */
export function eventRiskTable(
  heading: TableHeading & {
    labels: GroupLabels;
    confidence?: number;
  },
  risks: readonly EventRisk[],
): DisplayTable {
  const { labels, confidence = 0.95, ...rest } = heading;
  return table({
    ...rest,
    columns: [
      { key: "event", label: "Event", kind: "text" },
      { key: "repair", label: labels.repair, unit: "per 100", kind: "number", digits: 1 },
      { key: "replacement", label: labels.replacement, unit: "per 100", kind: "number", digits: 1 },
      ...differenceColumns(confidence),
    ],
    rows: risks.map(({ label, contrast: { groups, difference } }) => {
      const risk = (code: number) => {
        const group = groups.find((one) => Number(one.group) === code);
        return group ? hundredfold(group).estimate : null;
      };
      return {
        event: label,
        repair: risk(1),
        replacement: risk(0),
        ...hundredfold(difference),
        p: difference.pValue,
      };
    }),
  });
}
