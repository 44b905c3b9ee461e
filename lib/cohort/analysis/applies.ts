import { type Condition, dictionaryColumn } from "../dictionary/mod.ts";
import type { Columns } from "../model/mod.ts";

/**
 * Whom a column applies to: 1 where the dictionary's condition holds (tethering: patients with
 * secondary regurgitation), 1 for everybody where there is none.
 *
 * A blank where the column does not apply is not a missing value. Where the condition itself is
 * missing the column is taken not to apply.
 */
export function appliesTo(of: { n: number; columns: Columns }, column: string): Uint8Array {
  const condition = dictionaryColumn("patients", column)?.condition;
  return condition ? conditionHolds(of, condition) : new Uint8Array(of.n).fill(1);
}

/** 1 where a condition holds. */
export function conditionHolds(
  of: { n: number; columns: Columns },
  condition: Condition,
): Uint8Array {
  const holds = new Uint8Array(of.n);
  const column = of.columns[condition.column];
  if (!column) return holds;
  const other = "differsFrom" in condition ? of.columns[condition.differsFrom] : undefined;
  const values = "values" in condition ? condition.values : [];
  const above = "above" in condition ? condition.above : Infinity;
  for (let row = 0; row < of.n; row++) {
    const value = written(column[row]);
    if (value === "") continue;
    if (other) holds[row] = written(other[row]) !== "" && written(other[row]) !== value ? 1 : 0;
    else if (values.includes(value) || Number(value) > above) holds[row] = 1;
  }
  return holds;
}

function written(value: string | number | undefined): string {
  return value === undefined || Number.isNaN(value) ? "" : String(value);
}
