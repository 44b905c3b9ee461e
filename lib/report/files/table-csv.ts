import { stringify } from "csv-stringify/sync";
import { kindOf, type TableInput } from "../show/mod.ts";

/**
 * A table as CSV: one heading row with units, numbers as the table keeps them, proportions as
 * proportions.
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

/**
 * A spreadsheet set to another separator or thrown off by a quotation mark begins a new cell within
 * the text, so what follows a semicolon, a tab or a line break is made harmless as well.
 *
 * @see OWASP, "CSV Injection": the characters that begin a formula, and their full-width forms.
 */
export function harmless(text: string): string {
  const whole = text.replace(/([;\t\r\n]\s*)(?=[=+\-@＝＋－＠])/g, "$1'");
  return /^\s*[=+\-@＝＋－＠\t\r]/.test(whole) || /^[\t\r\n]/.test(whole) ? `'${whole}` : whole;
}
