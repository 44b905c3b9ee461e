import { costsInWords } from "./costs-in-words.ts";
import { tableCsv } from "../files/mod.ts";
import type { TableColumn, TableRow } from "../show/mod.ts";
import type { Validation } from "./validation.ts";

const columns: TableColumn[] = [
  { key: "severity", label: "Severity" },
  { key: "file", label: "File" },
  { key: "row", label: "Row", kind: "number" },
  { key: "line", label: "Line", kind: "number" },
  { key: "column", label: "Column" },
  { key: "heading", label: "In the file" },
  { key: "value", label: "Value" },
  { key: "rule", label: "Rule" },
  { key: "problem", label: "Problem" },
  { key: "remedy", label: "What to do" },
  { key: "count", label: "Times", kind: "number" },
  { key: "costs", label: "The rule costs" },
];

/**
 * Everything found, a line a place; what is beyond those listed takes one line with its count.
 * Texts that a spreadsheet would run are begun with an apostrophe.
 */
export function validationCsv(validation: Validation): string {
  const rows: TableRow[] = [];
  for (const group of validation.groups) {
    const { severity, file, column, rule, message, remedy, count, places } = group;
    const costs = group.costs ? costsInWords(group.costs) : null;
    const heading = group.heading ?? null;
    const common = { severity, file, column, heading, rule, problem: message, remedy, costs };
    for (const { message: own, ...place } of places) {
      rows.push({ ...common, ...place, problem: own ?? message, count: 1 });
    }
    const rest = count - places.length;
    if (rest > 0) rows.push({ ...common, row: null, line: null, value: null, count: rest });
  }
  return tableCsv({ columns, rows });
}
