import { type Analysis, columnOf } from "../../cohort/model/mod.ts";
import { appliesTo } from "../../cohort/analysis/mod.ts";
import { dictionaryColumn, isConfounder } from "../../cohort/dictionary/mod.ts";
import { DataError } from "../../numerics/mod.ts";

/** One column of the analysis, ready to be described and compared. */
export interface StudyCovariate {
  column: string;
  label: string;
  unit: string | null;
  kind: "number" | "binary" | "category";
  /** How a number is summarised; see {@link studyCovariate}. */
  form: "mean" | "median";
  /** 1 where the column applies to the patient. */
  applies: Uint8Array;
  /** 1 where it applies and there is a value. */
  present: Uint8Array;
  /** Numbers, or the places of categories in `levels`; of no meaning where not present. */
  values: Float64Array;
  levels: { code: string; label: string }[];
  /** Whom a conditional column is about, in words. */
  condition: string | null;
  /** The column that the condition depends on. */
  dependsOn: string | null;
}

/**
 * A column with what the dictionary says of it.
 *
 * Numbers are summarised as mean (SD), or as median [quartiles] where they are grades or where
 * their skewness in the whole sample is beyond 1 either way: one form for a row, whatever is done
 * to the sample.
 *
 * @throws {DataError} if there is no such column, or it was not known before the operation: what
 * comes after it may be its consequence.
 */
export function studyCovariate(analysis: Analysis, column: string): StudyCovariate {
  const entry = dictionaryColumn("patients", column, analysis.study.columns);
  if (!entry || !isConfounder(entry)) {
    throw new DataError("column", "known before the operation", column);
  }
  return describedColumn(analysis, column);
}

/**
 * Any column of the patients table with what the dictionary says of it, to be described: the
 * operation and what came after it too, which nothing may be adjusted for. See
 * {@link studyCovariate}.
 *
 * @throws {DataError} if there is no such column.
 */
export function describedColumn(analysis: Analysis, column: string): StudyCovariate {
  const entry = dictionaryColumn("patients", column, analysis.study.columns);
  if (!entry) throw new DataError("column", "one the dictionary has", column);
  const raw = columnOf(analysis, column);
  const applies = appliesTo(analysis, column);
  const n = analysis.n;
  const present = new Uint8Array(n);
  const values = new Float64Array(n);
  const levels = entry.type === "binary" ? [] : (entry.categories ?? []).slice();
  const kind = entry.type === "binary"
    ? "binary"
    : raw instanceof Float64Array
    ? "number"
    : "category";
  const places = new Map(levels.map(({ code }, i) => [code, i]));
  for (let i = 0; i < n; i++) {
    const value = raw[i]!;
    if (!applies[i] || value === "" || Number.isNaN(value)) continue;
    present[i] = 1;
    if (typeof value === "number") {
      values[i] = value;
      continue;
    }
    let place = places.get(value);
    if (place === undefined) {
      place = levels.push({ code: value, label: value }) - 1;
      places.set(value, place);
    }
    values[i] = place;
  }
  return {
    column,
    label: entry.label,
    unit: entry.unit,
    kind,
    get form() {
      return entry.type === "ordinal" || isSkewed(values, present) ? "median" : "mean";
    },
    applies,
    present,
    values,
    levels: kind === "category" ? levels : [],
    condition: entry.condition?.text ?? null,
    dependsOn: entry.condition?.column ?? null,
  };
}

function isSkewed(values: Float64Array, present: Uint8Array): boolean {
  let n = 0;
  let sum = 0;
  for (let i = 0; i < values.length; i++) {
    if (!present[i]) continue;
    n++;
    sum += values[i]!;
  }
  const mean = sum / n;
  let squares = 0;
  let cubes = 0;
  for (let i = 0; i < values.length; i++) {
    if (!present[i]) continue;
    const away = values[i]! - mean;
    squares += away * away;
    cubes += away * away * away;
  }
  return Math.abs(cubes / n / Math.sqrt(squares / n) ** 3) > 1;
}
