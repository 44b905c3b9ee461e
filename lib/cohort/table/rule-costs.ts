import { numberAt } from "../cells/mod.ts";
import type { LinkedVisits } from "./link-visits.ts";
import { costOf } from "./settle-errors.ts";
import type { Table } from "./table.ts";
import type { TableName } from "../dictionary/mod.ts";

/** What all errors of one rule in one column cost, before anything is run. */
export interface RuleCost {
  /** Which table. */
  table: TableName;
  /** Name of the rule. */
  rule: string;
  /** Name of the column; null where no one column is meant. */
  column: string | null;
  /** Patients who cannot be analysed. */
  patients: number;
  /** Visits that cannot be used, those of these patients among them. */
  visits: number;
  /** Cells that are taken as missing. */
  cells: number;
  /** Deaths, reinterventions and visits with moderate or worse regurgitation lost with them. */
  events: number;
}

// a leak from here on is one that recurrence counts
const moderate = 2;

/**
 * Counts what each rule costs. A row that two rules find is counted at both: costs of rules do not
 * add up to what is lost, and each says what mending its errors alone could give back at most.
 * Cost O(errors + visits of patients lost).
 */
export function ruleCosts(patients: Table, visits: Table, linked: LinkedVisits): RuleCost[] {
  return [...costsIn(patients, visits, linked), ...costsIn(visits, visits, linked)];
}

function costsIn(table: Table, visits: Table, linked: LinkedVisits): RuleCost[] {
  const rules = new Map<string, RuleCost & { rows: Set<number> }>();
  for (const { row, columns, rule } of table.errors) {
    const column = columns[0] ?? null;
    const key = `${rule} ${column}`;
    let own = rules.get(key);
    if (!own) {
      const none = { patients: 0, visits: 0, cells: 0, events: 0 };
      rules.set(key, own = { table: table.name, rule, column, ...none, rows: new Set() });
    }
    const cost = costOf(table.name, { column, rule });
    if (cost === "cell") own.cells += columns.filter((name) => table.columns.has(name)).length;
    else if (!own.rows.has(row)) {
      own.rows.add(row);
      if (cost === "patient") losePatient(own, row, { patients: table, visits, linked });
      else loseVisit(own, row, visits);
    }
  }
  return [...rules.values()].map(({ rows: _, ...cost }) => cost);
}

function losePatient(
  cost: RuleCost,
  row: number,
  { patients, visits, linked }: { patients: Table; visits: Table; linked: LinkedVisits },
): void {
  cost.patients++;
  for (const event of ["dead", "reint"]) {
    if (numberAt(patients.columns.get(event), row) === 1) cost.events++;
  }
  for (let at = linked.offsets[row] ?? 0; at < (linked.offsets[row + 1] ?? 0); at++) {
    loseVisit(cost, linked.rows[at] ?? -1, visits);
  }
}

function loseVisit(cost: RuleCost, row: number, visits: Table): void {
  cost.visits++;
  if (numberAt(visits.columns.get("mr"), row) >= moderate) cost.events++;
}
