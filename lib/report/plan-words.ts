import { dictionaryColumn, type TableName } from "../cohort/dictionary.ts";

/** A column's label as it stands within a sentence. */
export function labelOf(column: string, table: TableName = "patients"): string {
  const label = dictionaryColumn(table, column)?.label ?? column;
  return /^[A-Z][a-z]/.test(label) ? label.charAt(0).toLowerCase() + label.slice(1) : label;
}

/** Text of the study file as a sentence of its own. */
export function sentence(text: string): string {
  return /[.!?]$/.test(text.trim()) ? text.trim() : `${text.trim()}.`;
}

/** Parts joined by commas and a last "and". */
export function listOf(parts: readonly string[]): string {
  if (parts.length < 2) return parts.join("");
  return `${parts.slice(0, -1).join(", ")} and ${parts.at(-1)}`;
}
