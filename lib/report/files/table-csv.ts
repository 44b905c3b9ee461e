import { stringify } from "csv-stringify/sync";
import { noValue } from "../../words/mod.ts";
import { Memory } from "../../numerics/memory/mod.ts";
import type { TableBody } from "../items/mod.ts";
import { cellText, kindOf, type TableColumn } from "../show/mod.ts";

/**
 * A table as CSV in UTF-8: one heading row with units, numbers as the table keeps them with a plain
 * minus sign, proportions as proportions. Where a number is printed with fewer figures than are
 * kept, a column beside it has the printed value.
 *
 * Text that a spreadsheet would take for a formula is begun with an apostrophe, numbers never are.
 */
export function tableCsv({ columns, rows }: TableBody): string {
  return written.get(keyOf({ columns, rows }), () => writeCsv({ columns, rows }));
}

/** Takes what was made of a table in an earlier run. */
export function rememberCsv(table: TableBody, csv: string): void {
  written.set(keyOf(table), csv);
}

const written = new Memory<string>(1000);

function keyOf({ columns, rows }: TableBody): string {
  return JSON.stringify([columns, rows]);
}

function writeCsv(table: TableBody): string {
  const labels = uniqueLabels(table);
  const columns = table.columns.flatMap((column, index) => {
    const label = labels[index] ?? column.label;
    const kept = {
      heading: keptHeading(table, { ...column, label }),
      cell: (row: TableBody["rows"][number]) => plainCell(row[column.key] ?? ""),
    };
    if (!isPrintedShorter(table, column)) return [kept];
    return [kept, {
      heading: harmless(`${label}, as printed`),
      cell: (row: TableBody["rows"][number]) =>
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

/**
 * A name for each column that no other has: a program finds columns by them, where a reader sees
 * what stands to the left. A label that occurs again has before it what that is: the last label of
 * its own to the left, itself no limit of it. "to" beside "Difference" and "95% from" becomes
 * "Difference, to". Should two still be alike, the later is numbered.
 */
function uniqueLabels({ columns }: TableBody): string[] {
  const labels = columns.map(({ label }) => label);
  const occurs = (label: string, among: readonly string[]) =>
    among.filter((other) => other === label).length;
  const limitRecurs = labels.some((label) => bareLimit.test(label) && occurs(label, labels) > 1);
  const whole = labels.map((label, index) => {
    if (occurs(label, labels) === 1 && !(limitRecurs && bareLimit.test(label))) return label;
    const owner = labels.slice(0, index).findLast((other) =>
      occurs(other, labels) === 1 && !bareLimit.test(other)
    )?.replace(namedLimit, "");
    return owner ? `${owner}, ${label}` : label;
  });
  const given = new Set<string>();
  return whole.map((label) => {
    const isTaken = (name: string) => given.has(name) || (name !== label && whole.includes(name));
    let name = label;
    for (let k = 2; isTaken(name); k++) name = `${label} (${k})`;
    given.add(name);
    return name;
  });
}

/** A heading that says no more than that it is a limit. */
const bareLimit = /^(\d[\d.]*% )?(from|to)$/;
/** The end of one that also names what it limits. */
const namedLimit = /[,:]? \d[\d.]*% from$/;

function keptHeading(table: TableBody, column: TableColumn): string {
  const unit = column.unit && column.unit !== "%"
    ? column.unit
    : kindOf(table, column) === "percent"
    ? "proportion"
    : column.unit;
  return harmless(unit ? `${column.label} (${unit})` : column.label);
}

/** Whether some number is printed otherwise than it is kept, leaving signs and commas aside. */
function isPrintedShorter(table: TableBody, column: TableColumn): boolean {
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
