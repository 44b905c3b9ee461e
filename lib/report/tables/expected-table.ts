import { levelText } from "../../words/mod.ts";
import { boundedCount, isSmall } from "../../disclosure/mod.ts";
import { type DisplayTable, table, type TableHeading, type TableRow } from "../show/mod.ts";

/** Deaths of one group against those of the general population. */
export interface ExpectedLine {
  /** Name of the group. */
  group: string;
  /** Events that happened. */
  observed: number;
  /** Events expected. */
  expected: number;
  /** The ratio. */
  ratio: number;
  /** Lower limit. */
  lower: number;
  /** Upper limit. */
  upper: number;
  /** Share of the general population alive at the horizon. */
  usual: number;
}

/**
 * Deaths observed and expected, with their ratio. Where the deaths are too few to publish, the
 * ratio and its limits, from which they follow, are left out with them.
 */
export function expectedTable(
  heading: TableHeading & {
    smallestCell: number;
    confidence?: number;
  },
  lines: readonly ExpectedLine[],
): DisplayTable {
  const { smallestCell, confidence = 0.95, ...rest } = heading;
  return table({
    ...rest,
    columns: [
      { key: "group", label: "Group", kind: "text" },
      { key: "observed", label: "Observed", kind: "number" },
      { key: "expected", label: "Expected", kind: "number", digits: 1 },
      { key: "ratio", label: "Ratio", kind: "number", digits: 2 },
      { key: "lower", label: `${levelText(confidence)} from`, kind: "number", digits: 2 },
      { key: "upper", label: "to", kind: "number", digits: 2 },
      { key: "usual", label: "Population", kind: "percent" },
    ],
    rows: lines.map(({ group, observed, expected, ratio, lower, upper, usual }): TableRow =>
      isSmall(observed, smallestCell)
        ? {
          group,
          observed: boundedCount(observed, smallestCell),
          expected: null,
          ratio: null,
          lower: null,
          upper: null,
          usual,
        }
        : { group, observed, expected, ratio, lower, upper, usual }
    ),
  });
}
