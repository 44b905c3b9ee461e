import { type DateOrder, dayOf, yearOf, yearsBetween } from "./date-cell.ts";
import type { Pseudonymizer } from "./deidentify-key.ts";
import type { ColumnAction, RawTable, TablePlan } from "./deidentify-plan.ts";
import { identifierKinds } from "./identifier-kinds.ts";

/** What rewriting a row needs to know. */
export interface RewriteContext {
  pseudonym: Pseudonymizer;
  /** Codes of surgeons by what the file calls them. */
  surgeons: ReadonlyMap<string, string>;
  order: DateOrder;
  /** Day of operation by record number, NaN where it is not known. */
  operationDay: ReadonlyMap<string, number>;
  /** Place of the record number. */
  id: number;
}

/** A clean table, and how many cells each column's action changed or dropped. */
export interface Rewritten {
  table: RawTable;
  counts: number[];
}

/** Carries a plan out, row by row; rows come out in the order of pseudonyms. */
export async function rewrite(
  raw: RawTable,
  { columns, scan }: TablePlan,
  context: RewriteContext,
): Promise<Rewritten> {
  const counts = columns.map(() => 0);
  const names = new Map<string, string>();
  const taken = new Set<string>();
  const kept = columns.flatMap(({ action }, position) => action.do === "drop" ? [] : [position]);
  const rows: string[][] = [];
  for (const row of raw.rows) {
    const id = (row[context.id] ?? "").trim();
    let pseudonym = names.get(id);
    if (pseudonym === undefined) {
      pseudonym = id === "" ? "" : await context.pseudonym(id);
      if (taken.has(pseudonym)) throw new Error("two record numbers share a pseudonym");
      names.set(id, pseudonym);
      taken.add(pseudonym);
    }
    const start = context.operationDay.get(id) ?? NaN;
    const clean = columns.map(({ action }, position) => {
      const cell = row[position]?.trim() ?? "";
      if (cell === "" && action.do !== "pseudonym") return "";
      const made = position === context.id ? pseudonym : cellAfter(cell, position, {
        action,
        start,
        scan,
        context,
      });
      if (action.do === "drop" || made !== cell) counts[position]!++;
      return made;
    });
    rows.push(kept.map((position) => clean[position] ?? ""));
  }
  const order = kept.indexOf(context.id);
  const day = kept.findIndex((position) => /^day\b| \(days\)$/.test(columns[position]!.heading));
  rows.sort((a, b) =>
    compare(a[order] ?? "", b[order] ?? "") || (Number(a[day]) || 0) - (Number(b[day]) || 0)
  );
  return { table: { header: kept.map((position) => columns[position]!.heading), rows }, counts };
}

function cellAfter(
  cell: string,
  position: number,
  { action, start, scan, context }: {
    action: ColumnAction;
    start: number;
    scan: TablePlan["scan"];
    context: RewriteContext;
  },
): string {
  switch (action.do) {
    case "operation-year":
      return Number.isNaN(start) ? "" : String(yearOf(start));
    case "days": {
      const days = dayOf(cell, context.order) - start;
      return Number.isNaN(days) ? "" : String(days);
    }
    case "age-at-operation": {
      const years = yearsBetween(dayOf(cell, context.order), start);
      return Number.isNaN(years) ? "" : String(Math.min(90, years));
    }
    case "top-code":
      return Number(cell.replace(",", ".")) > 89 ? "90" : cell;
    case "surgeon-code":
      return context.surgeons.get(cell) ?? "";
    case "blank-cells":
      return scan.kindOf(position, cell) ? "" : cell;
    default:
      return cell;
  }
}

/** Codes S1, S2, ... for what a file calls its surgeons, in an order that tells nothing. */
export async function surgeonCodes(
  raw: RawTable,
  { columns }: TablePlan,
  pseudonym: Pseudonymizer,
): Promise<Map<string, string>> {
  const names = new Set<string>();
  columns.forEach(({ action }, position) => {
    if (action.do !== "surgeon-code") return;
    for (const row of raw.rows) {
      const name = row[position]?.trim();
      if (name) names.add(name);
    }
  });
  const keyed: { name: string; place: string }[] = [];
  for (const name of names) keyed.push({ name, place: await pseudonym(`surgeon ${name}`) });
  keyed.sort((a, b) => compare(a.place, b.place));
  return new Map(keyed.map(({ name }, i) => [name, `S${i + 1}`]));
}

/** An action in words, for the record. */
export function actionsInWords(action: ColumnAction): string {
  switch (action.do) {
    case "keep":
      return "kept as it was";
    case "drop":
      return `dropped: ${identifierKinds[action.kind]}`;
    case "pseudonym":
      return "record numbers replaced by keyed pseudonyms";
    case "surgeon-code":
      return "names replaced by codes";
    case "operation-year":
      return "date of operation replaced by its year";
    case "age-at-operation":
      return "date of birth replaced by whole years at operation, 90 for over 89";
    case "days":
      return "dates replaced by days from operation";
    case "top-code":
      return "ages over 89 replaced by 90";
    case "blank-cells":
      return `single cells blanked: ${
        [...new Set(action.kinds)].map((kind) => identifierKinds[kind]).join("; ")
      }`;
  }
}

function compare(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}
