import { stringify } from "csv-stringify/sync";
import { noValue } from "../../words/mod.ts";
import { cellText, kindOf, type TableColumn, type TableInput } from "../show/mod.ts";

/**
 * A table as CSV in UTF-8: one heading row with units, numbers as the table keeps them with a plain
 * minus sign, proportions as proportions. Where a number is printed with fewer figures than are
 * kept, a column beside it has the printed value.
 *
 * Text that a spreadsheet would take for a formula is begun with an apostrophe, numbers never are.
 */
export function tableCsv(table: TableInput): string {
  const columns = table.columns.flatMap((column) => {
    const kept = {
      heading: keptHeading(table, column),
      cell: (row: TableInput["rows"][number]) => plainCell(row[column.key] ?? ""),
    };
    if (!isPrintedShorter(table, column)) return [kept];
    return [kept, {
      heading: harmless(`${column.label}, as printed`),
      cell: (row: TableInput["rows"][number]) =>
        row[column.key] === null || row[column.key] === undefined
          ? ""
          : plainCell(cellText(table, column, row)),
    }];
  });
  return stringify(
    [
      columns.map(({ heading }) => heading),
      ...table.rows.map((row) => columns.map(({ cell }) => cell(row))),
    ],
    { record_delimiter: "windows", quoted_match: /[\r\n\t]/ },
  );
}

function keptHeading(table: TableInput, column: TableColumn): string {
  const unit = column.unit && column.unit !== "%"
    ? column.unit
    : kindOf(table, column) === "percent"
    ? "proportion"
    : column.unit;
  return harmless(unit ? `${column.label} (${unit})` : column.label);
}

/** Whether some number is printed otherwise than it is kept, leaving signs and commas aside. */
function isPrintedShorter(table: TableInput, column: TableColumn): boolean {
  return table.rows.some((row) => {
    const value = row[column.key];
    if (typeof value !== "number" || !Number.isFinite(value)) return false;
    return plainMinus(cellText(table, column, row)).replaceAll(",", "") !== String(value);
  });
}

function plainCell(value: string | number): string {
  if (typeof value === "number") return String(value);
  if (value === noValue) return "";
  const text = plainMinus(value);
  return plainNumber.test(text) ? text : harmless(text);
}

/** Nothing that a formula could be written with. */
const plainNumber = /^-\d[\d,.]*%?$/;

function plainMinus(text: string): string {
  return text.replaceAll("\u2212", "-");
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
