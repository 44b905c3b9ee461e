import { blank } from "../cells/mod.ts";
import type { Table } from "./table.ts";

/** What an error costs. */
export type ErrorCost = "patient" | "visit" | "cell";

// Without these a patient is nobody, is in no group, or has no follow-up; the rest can be missing.
const patientKeys: ReadonlySet<string> = new Set([
  "id",
  "op_year",
  "intended",
  "final",
  "fu_days",
  "dead",
  "reint",
  "reint_day",
]);
/** Columns without which a visit says nothing. */
export const visitKeys: ReadonlySet<string> = new Set(["id", "day", "mr"]);
// An operation entered twice is one patient counted twice, whichever column shows it.
const identityRules: ReadonlySet<string> = new Set(["operation-twice"]);

/** What an error in a column costs: the whole row where it stands on the column, else one cell. */
export function costOf(
  table: Table["name"],
  { column, rule }: { column: string | null; rule: string },
): ErrorCost {
  const name = column ?? "";
  if (table === "visits") return visitKeys.has(name) ? "visit" : "cell";
  return patientKeys.has(name) || identityRules.has(rule) ? "patient" : "cell";
}

/**
 * Settles what the errors of a table cost, once all are known: a row that stands on a wrong cell is
 * not used, and elsewhere the cell is made missing. Where two cells contradict each other both are:
 * which one is wrong nobody can tell. What a row stands on is never made missing.
 */
export function settleErrors(table: Table): void {
  const keys = table.name === "patients" ? patientKeys : visitKeys;
  table.invalid.fill(0);
  const names = [...table.columns.keys()];
  // a cell may break more than one rule
  const blanked = new Set<number>();
  for (const { row, columns, rule } of table.errors) {
    if (costOf(table.name, { column: columns[0] ?? null, rule }) !== "cell") {
      table.invalid[row] = 1;
      continue;
    }
    for (const name of columns) {
      const column = table.columns.get(name);
      if (!column || keys.has(name)) continue;
      blank(column, row);
      blanked.add(row * names.length + names.indexOf(name));
    }
  }
  table.cellsBlanked = blanked.size;
  for (const problem of table.problems) {
    if (problem.row === null || problem.severity !== "error") continue;
    problem.costs = costOf(table.name, problem);
  }
}
