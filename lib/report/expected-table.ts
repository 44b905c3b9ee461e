import { isSmall } from "../numerics/small-counts.ts";
import { type DisplayTable, table, type TableInput, type TableRow } from "./table.ts";

/** Deaths of one group against those of the general population. */
export interface ExpectedLine {
  group: string;
  observed: number;
  /** Of these, within the first 30 days, which the table of rates counts apart. */
  early: number;
  expected: number;
  ratio: number;
  lower: number;
  upper: number;
  /** Share of the general population alive at the horizon. */
  usual: number;
}

/**
 * Deaths observed and expected, with their ratio.
 *
 * Late deaths stand in the table of rates, so where early deaths are too few to publish, the number
 * observed would give them away; it is left out then, and what it follows from: the number expected
 * and the further digits of the ratio.
 */
export function expectedTable(
  heading: Pick<TableInput, "id" | "title" | "caption" | "notes" | "status"> & {
    smallestCell: number;
  },
  lines: readonly ExpectedLine[],
): DisplayTable {
  const { smallestCell, ...rest } = heading;
  return table({
    ...rest,
    columns: [
      { key: "group", label: "Group", kind: "text" },
      { key: "observed", label: "Observed", kind: "number" },
      { key: "expected", label: "Expected", kind: "number", digits: 1 },
      { key: "ratio", label: "Ratio", kind: "number", digits: 2 },
      { key: "lower", label: "From", kind: "number", digits: 2 },
      { key: "upper", label: "To", kind: "number", digits: 2 },
      { key: "usual", label: "Population", kind: "percent" },
    ],
    rows: lines.map(
      ({ group, observed, early, expected, ratio, lower, upper, usual }): TableRow => {
        if (!isSmall(observed, smallestCell) && !isSmall(early, smallestCell)) {
          return { group, observed, expected, ratio, lower, upper, usual };
        }
        const short = (value: number) => Math.round(100 * value) / 100;
        const limits = { ratio: short(ratio), lower: short(lower), upper: short(upper) };
        return { group, observed: null, expected: null, ...limits, usual };
      },
    ),
  });
}
