import { stringify } from "csv-stringify/sync";
import { type DateOrder, dayOf, yearOf, yearsBetween } from "../cells/mod.ts";
import type { Pseudonymizer } from "./key.ts";
import { type ColumnAction, searchOf, type TablePlan } from "./plan.ts";
import { eachRow, type RawFile } from "./read.ts";
import { ageOf, type IdentifierFinding, identifierKinds } from "../identifiers/mod.ts";
import { lineStore } from "./line-store.ts";
import type { PatientBook } from "./patient-book.ts";

/** What rewriting a row needs to know. */
export interface RewriteContext {
  patients: PatientBook;
  /** Codes of surgeons by what the file calls them. */
  surgeons: ReadonlyMap<string, string>;
  order: DateOrder;
  /** Place of the record number. */
  id: number;
}

/** A clean table, not yet written. */
export interface Rewritten {
  rows: number;
  /** How many cells each column's action changed or dropped. */
  counts: number[];
  /** How many filled cells each column's action left blank, because no date could be read. */
  lost: number[];
  /** What a search of the clean table still suspects. */
  findings: IdentifierFinding[];
  /** Writes it as CSV, for its owner's eyes only. */
  write(path: string): Promise<void>;
}

/**
 * Carries a plan out, row by row; rows come out in the order of pseudonyms. Of the table only the
 * clean lines are held.
 */
export async function rewrite(
  file: RawFile,
  { columns, scan }: TablePlan,
  context: RewriteContext,
): Promise<Rewritten> {
  const { patients } = context;
  const counts = columns.map(() => 0);
  const lost = columns.map(() => 0);
  const kept = columns.flatMap(({ action }, position) => action.do === "drop" ? [] : [position]);
  const header = kept.map((position) => columns[position]!.heading);
  const dayColumn = header.findIndex((heading) => /^day\b| \(days\)$/.test(heading));
  const search = searchOf(header, file.name);
  const lines = lineStore();
  const owners: number[] = [];
  const days: number[] = [];
  await eachRow(file, (row) => {
    const owner = patients.placeOf((row[context.id] ?? "").trim());
    const start = patients.operationDay(owner, context.order);
    const clean = columns.map(({ action }, position) => {
      const cell = row[position]?.trim() ?? "";
      if (cell === "" && action.do !== "pseudonym") return "";
      const made = position === context.id
        ? patients.pseudonym(owner)
        : cellAfter(cell, position, { action, start, scan, context });
      if (action.do === "drop" || made !== cell) counts[position]!++;
      if (made === "" && readsDates(action)) lost[position]!++;
      return made;
    });
    const cells = kept.map((position) => clean[position] ?? "");
    search.take(cells, lines.count + 2);
    owners.push(owner);
    days.push(Number(cells[dayColumn]) || 0);
    lines.add(stringify([cells]));
  });
  return {
    rows: lines.count,
    counts,
    lost,
    findings: search.finish(),
    async write(path) {
      const ranks = patients.ranks();
      const order = Uint32Array.from(owners, (_, row) => row).sort((a, b) =>
        (ranks[owners[a]!] ?? 0) - (ranks[owners[b]!] ?? 0) || days[a]! - days[b]! || a - b
      );
      const options = { write: true, create: true, truncate: true, mode: 0o600 };
      const writer = (await Deno.open(path, options)).writable.getWriter();
      await writer.write(new TextEncoder().encode(stringify([header])));
      let block = new Uint8Array(blockBytes);
      let filled = 0;
      for (const row of order) {
        const line = lines.at(row);
        if (filled + line.length > block.length) {
          await writer.write(block.subarray(0, filled));
          if (line.length > block.length) block = new Uint8Array(line.length);
          filled = 0;
        }
        block.set(line, filled);
        filled += line.length;
      }
      await writer.write(block.subarray(0, filled));
      await writer.close();
    },
  };
}

function readsDates({ do: action }: ColumnAction): boolean {
  return action === "days" || action === "age-at-operation" || action === "operation-year";
}

const blockBytes = 2 ** 20;

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
      return ageOf(cell) > 89 ? "90" : cell;
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
  names: readonly string[],
  pseudonymsOf: Pseudonymizer,
): Promise<Map<string, string>> {
  const places = await pseudonymsOf(names.map((name) => `surgeon ${name}`));
  const keyed = names.map((name, i) => ({ name, place: places[i] ?? "" }));
  keyed.sort((a, b) => a.place < b.place ? -1 : a.place > b.place ? 1 : 0);
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
