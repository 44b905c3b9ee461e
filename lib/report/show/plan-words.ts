import { inSentence } from "../../words/mod.ts";
import type { OwnColumn } from "../../study/plan/mod.ts";
import { dictionaryColumn, type TableName } from "../../cohort/dictionary/mod.ts";

/**
 * A column's label as it stands within a sentence.
 *
 * @param own Columns of the study's own.
 */
export function labelOf(
  column: string,
  table: TableName = "patients",
  own: readonly OwnColumn[] = [],
): string {
  return inSentence(dictionaryColumn(table, column, own)?.label ?? column);
}

/** Text of the study file as a sentence of its own. */
export function sentence(text: string): string {
  return /[.!?]$/.test(text.trim()) ? text.trim() : `${text.trim()}.`;
}
