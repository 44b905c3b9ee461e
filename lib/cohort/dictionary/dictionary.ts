import { operativeColumns, postOperativeColumns } from "./operation.ts";
import { preOperativeColumns } from "./preoperative.ts";
import { visitColumns } from "./visits.ts";
import type { OwnColumn } from "../../study/plan/mod.ts";
import { ownEntries } from "./own-entries.ts";

/** When a value comes into being, which decides where it may be used. */
export type Stage = "pre-operative" | "operative" | "post-operative";

/** The two linked tables of a cohort. */
export type TableName = "patients" | "visits";

/**
 * How a value is written.
 *
 * `identifier` and `code` are pseudonyms; `set` is a list separated by semicolons; everything with
 * numbers (`integer`, `number`, `ordinal`, `binary`) is read into a numeric column.
 */
export type ColumnType =
  | "identifier"
  | "code"
  | "integer"
  | "number"
  | "ordinal"
  | "binary"
  | "category"
  | "set";

/** One code of a category, with the words a reader sees. */
export interface Category {
  /** As cells have it. */
  code: string;
  /** Name as readers see it. */
  label: string;
}

/**
 * When a conditional column applies, in words and as a rule: another `column` has one of `values`,
 * is above a number, or differs from a third.
 */
export type Condition =
  | { text: string; column: string; values: string[] }
  | { text: string; column: string; above: number }
  | { text: string; column: string; differsFrom: string };

/** One column of the cohort's dictionary. JSON-able: published as `data-demo/dictionary.json`. */
export interface DictionaryColumn {
  /** Name as the data have it. */
  name: string;
  /** Which table. */
  table: TableName;
  /** Name as readers see it. */
  label: string;
  /** `null` where the value has no unit. */
  unit: string | null;
  /** Numbers, codes, yes or no. */
  type: ColumnType;
  /** Outside these, both included, the value is impossible: an error. */
  hard: { min: number; max: number } | null;
  /** Outside these, both included, the value is improbable: a warning. */
  soft: { min: number | null; max: number | null } | null;
  /** The codes allowed, in their natural order; `null` where any code is. */
  categories: Category[] | null;
  /** Whether the *column* must be there. */
  requirement: "required" | "optional" | "conditional";
  /** For a conditional column: the patients it applies to. */
  condition: Condition | null;
  /** Whether each row must have a value. Elsewhere a blank means missing, which is counted. */
  complete: boolean;
  /** When it becomes known: before, at or after the operation. */
  stage: Stage;
  /** What a data manager needs to know beyond the label. */
  note: string | null;
}

/**
 * Every column of a cohort: the patients table (one row an operation) and the visits table (one row
 * an echocardiogram).
 *
 * Values are days from operation, never dates; ages of 90 and over are written 90.
 */
export const dictionary: {
  version: number;
  patients: DictionaryColumn[];
  visits: DictionaryColumn[];
} = {
  version: 1,
  patients: [...preOperativeColumns, ...operativeColumns, ...postOperativeColumns],
  visits: visitColumns,
};

const byName: Record<TableName, Map<string, DictionaryColumn>> = {
  patients: new Map(dictionary.patients.map((column) => [column.name, column])),
  visits: new Map(dictionary.visits.map((column) => [column.name, column])),
};

/**
 * The dictionary's entry for a column, or `undefined` where there is none.
 *
 * @param own Columns of the study's own, as its plan declares them.
 */
export function dictionaryColumn(
  table: TableName,
  name: string,
  own: readonly OwnColumn[] = [],
): DictionaryColumn | undefined {
  return byName[table].get(name) ?? ownEntries(table, own).find((column) => column.name === name);
}

/** The columns of a table: the dictionary's, then those of the study's own. */
export function tableColumns(
  table: TableName,
  own: readonly OwnColumn[] = [],
): DictionaryColumn[] {
  return [...dictionary[table], ...ownEntries(table, own)];
}

/** Whether a column's values are read as numbers. */
export function isNumeric(column: DictionaryColumn): boolean {
  return column.type === "integer" || column.type === "number" || column.type === "ordinal" ||
    column.type === "binary";
}

/** Whether a column may enter a propensity model: known before the operation, not an identifier. */
export function isConfounder(column: DictionaryColumn): boolean {
  return column.stage === "pre-operative" && column.type !== "identifier" &&
    column.table === "patients";
}
