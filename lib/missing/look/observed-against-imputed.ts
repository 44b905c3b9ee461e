import { momentsOf, quartilesOf } from "../../numerics/mod.ts";
import type { ImputedColumns } from "../chain/mod.ts";

/** Values of one column, known or drawn. */
export interface ValuesSummary {
  /** Rows; of the drawn, on average over the sets. */
  n: number;
  /** Mean. */
  mean: number;
  /** Standard deviation. */
  spread: number;
  /** First quartile, median, third. */
  quartiles: [number, number, number];
}

/** What is known of a column beside what was drawn for it. */
export interface ColumnComparison {
  /** Name as the data have it. */
  name: string;
  /** How its values are drawn. */
  kind: ImputedColumns["columns"][number]["kind"];
  /** Values that were known. */
  known: ValuesSummary;
  /** Values that were drawn. */
  imputed: ValuesSummary;
  /** Shares of each level; none for numbers. */
  levels: { level: number; known: number; imputed: number }[];
}

/**
 * Known values of each completed column beside those drawn, the sets taken together.
 *
 * They need not agree: where those without a value are other patients, they should not. What to
 * look for is a difference that the other columns cannot explain. Cost O(rows x sets) a column.
 */
export function observedAgainstImputed(imputed: ImputedColumns): ColumnComparison[] {
  return imputed.columns.map(({ name, kind }) => {
    const first = imputed.completed(name, 0);
    // rows may differ between sets where a column depends on one that is completed too
    const missing = new Uint8Array(imputed.n);
    for (const set of imputed.sets) for (const row of set[name]!.rows) missing[row] = 1;
    const known = first.filter((value, i) => !missing[i] && !Number.isNaN(value));
    const drawn = imputed.sets.flatMap((set) => Array.from(set[name]!.values));
    const levels = kind === "number"
      ? []
      : [...new Set([...known, ...drawn])].sort((a, b) => a - b);
    const share = (values: ArrayLike<number>, level: number) =>
      Array.from(values).filter((value) => value === level).length / values.length;
    return {
      name,
      kind,
      known: summaryOf(known, 1),
      imputed: summaryOf(Float64Array.from(drawn), imputed.sets.length),
      levels: levels.map((level) => ({
        level,
        known: share(known, level),
        imputed: share(drawn, level),
      })),
    };
  });
}

function summaryOf(values: Float64Array, sets: number): ValuesSummary {
  const { mean, variance } = momentsOf(values);
  const { lower, median, upper } = quartilesOf(values);
  return {
    n: values.length / sets,
    mean,
    spread: Math.sqrt(variance),
    quartiles: [lower, median, upper],
  };
}
