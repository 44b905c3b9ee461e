import { levelText } from "../../words/mod.ts";
import type { StandardizedContrast } from "../../survival/standardized/mod.ts";
import { differenceColumns, hundredfold, type ShownContrast } from "../pair-tables/mod.ts";
import { type DisplayTable, table, type TableRow } from "../show/mod.ts";
import type { Limits } from "../../numerics/mod.ts";
import type { TableHeading } from "../items/mod.ts";

/** One way of answering a question, with whom it speaks of. */
export interface MethodLine {
  /** Name of the method. */
  method: string;
  /** As `estimandInWords` says it. */
  whom: string;
  /** One a time. */
  contrasts: readonly (ShownContrast | StandardizedContrast)[];
}

/** The same difference by several methods at each horizon, per 100 patients. */
export function methodTable(
  heading: TableHeading & { confidence?: number },
  lines: readonly MethodLine[],
): DisplayTable {
  const { confidence = 0.95, ...rest } = heading;
  return table({
    ...rest,
    columns: [
      { key: "method", label: "Method" },
      { key: "whom", label: "Applies to" },
      { key: "years", label: "Years", kind: "number" },
      ...differenceColumns(confidence),
    ],
    rows: lines.flatMap(({ method, whom, contrasts }) =>
      contrasts.map(({ time, difference }): TableRow => ({
        method,
        whom,
        years: time,
        ...hundredfold(difference),
        p: difference.pValue,
      }))
    ),
  });
}

/** One comparison with limits that take its sample as given, and limits from making it anew. */
export interface RepeatedLine {
  /** The quantity, with its unit. */
  comparison: string;
  /** For which patients the answer is. */
  whom: string;
  /** As the main analysis gave it. */
  given: Limits;
  /** A bootstrap's; `failed` draws gave no result. */
  repeated: {
    lower: number;
    upper: number;
    bias: number;
    failed: number;
    used: { method: string; why: string };
  };
  /**
   * What the numbers are multiplied by, such as 100 for "per 100" or 12 for months; default 100.
   */
  times?: number;
}

/**
 * Limits as given beside those of repeating the whole procedure. Notes say why each kind of limits
 * was taken.
 */
export function repeatedTable(
  heading: TableHeading & { confidence?: number },
  lines: readonly RepeatedLine[],
): DisplayTable {
  const { confidence = 0.95, ...rest } = heading;
  const number = { kind: "number", digits: 1 } as const;
  const level = levelText(confidence);
  const reasons = new Set(
    lines.map(({ repeated: { used } }) => `Limits ${used.method}: ${used.why}`),
  );
  return table({
    ...rest,
    notes: [...(rest.notes ?? []), ...reasons],
    columns: [
      { key: "comparison", label: "Comparison" },
      { key: "whom", label: "Applies to" },
      { key: "estimate", label: "Difference", ...number },
      { key: "lower", label: `As given, ${level} from`, ...number },
      { key: "upper", label: "to", ...number },
      { key: "from", label: `Repeated, ${level} from`, ...number },
      { key: "to", label: "to", ...number },
      { key: "bias", label: "Bias", ...number },
      { key: "limits", label: "Limits" },
      { key: "failed", label: "Draws without a result", kind: "number" },
    ],
    rows: lines.map(({ comparison, whom, given, repeated, times = 100 }) => ({
      comparison,
      whom,
      estimate: times * given.estimate,
      lower: times * given.lower,
      upper: times * given.upper,
      from: times * repeated.lower,
      to: times * repeated.upper,
      bias: times * repeated.bias,
      limits: repeated.used.method,
      failed: repeated.failed,
    })),
  });
}
