import { stringify } from "csv-stringify/sync";
import { kindOf, type TableInput } from "./table.ts";

/**
 * A table as CSV: one heading row with units, numbers unrounded, proportions as proportions.
 *
 * Text that a spreadsheet would take for a formula is begun with an apostrophe, numbers never are.
 */
export function tableCsv(table: TableInput): string {
  const heading = table.columns.map((column) => {
    const unit = column.unit && column.unit !== "%"
      ? column.unit
      : kindOf(table, column) === "percent"
      ? "proportion"
      : column.unit;
    return harmless(unit ? `${column.label} (${unit})` : column.label);
  });
  const rows = table.rows.map((row) =>
    table.columns.map(({ key }) => {
      const value = row[key] ?? "";
      return typeof value === "string" ? harmless(value) : String(value);
    })
  );
  return stringify([heading, ...rows], { record_delimiter: "windows", quoted_match: /[\r\n\t]/ });
}

/** @see OWASP, "CSV Injection": the characters that begin a formula, and their full-width forms. */
function harmless(text: string): string {
  return /^\s*[=+\-@＝＋－＠\t\r]/.test(text) || /^[\t\r\n]/.test(text) ? `'${text}` : text;
}
