import { stringify } from "csv-stringify/sync";
import { type DateOrder, dayOf, yearOf, yearsBetween } from "../cells/mod.ts";
import type { Pseudonymizer } from "./key.ts";
import { type KnownColumn, knownColumns } from "./known-columns.ts";
import { type ColumnAction, type PlannedColumn, searchOf } from "./plan.ts";
import { eachRow, type RawFile } from "./read.ts";
import { ageOf, type IdentifierFinding, identifierKinds } from "../identifiers/mod.ts";
import { type Aloneness, aloneness } from "./aloneness.ts";
import type { RankedLines } from "./ranked-lines.ts";
import type { PatientBook } from "./patient-book.ts";
import { asFine } from "./clean-cells.ts";
import { isNumeric } from "../dictionary/mod.ts";
import { writeOwnBlocks } from "../../study/file/mod.ts";

/** What rewriting a row needs to know. */
export interface RewriteContext {
  patients: PatientBook;
  /** Codes of surgeons by what the file calls them. */
  surgeons: ReadonlyMap<string, string>;
  order: DateOrder;
  /** Place of the record number. */
  id: number;
  /** Each patient's rank in the order of pseudonyms. */
  ranks: Uint32Array;
  /** Takes the clean lines. */
  lines: RankedLines;
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
  /** Patients whom age, sex, year and intended operation together tell from all others. */
  alone: Aloneness;
  /** Writes it as CSV, for its owner's eyes only. */
  write(path: string): Promise<void>;
}

/**
 * Carries a plan out, row by row; rows come out in the order of pseudonyms. Of the table
 * nothing is held: its clean lines lie with `context.lines`.
 */
export async function rewrite(
  file: RawFile,
  columns: readonly PlannedColumn[],
  context: RewriteContext,
): Promise<Rewritten> {
  const { patients, ranks, lines } = context;
  const counts = columns.map(() => 0);
  const lost = columns.map(() => 0);
  const kept = columns.flatMap(({ action }, position) => action.do === "drop" ? [] : [position]);
  const header = kept.map((position) => columns[position]!.heading);
  const dayColumn = header.findIndex((heading) => /^day\b| \(days\)$/.test(heading));
  const named = knownColumns(file.name, header);
  const knownAfter = kept.map((position, i): KnownColumn | null => {
    const { action } = columns[position]!;
    return action.do === "keep-known" ? action.known : named[i]!;
  });
  const search = searchOf(header, knownAfter);
  const book = aloneness(header, knownAfter);
  await eachRow(file, (row) => {
    const owner = patients.placeOf((row[context.id] ?? "").trim());
    const pseudonym = patients.pseudonym(owner);
    const start = patients.operationDay(owner, context.order);
    const clean = columns.map(({ action }, position) => {
      const cell = row[position]?.trim() ?? "";
      if (cell === "" && action.do !== "pseudonym") return "";
      const made = position === context.id
        ? pseudonym
        : cellAfter(cell, { action, start, context });
      if (action.do === "drop" || made !== cell) counts[position]!++;
      if (made === "" && action.do !== "drop") lost[position]!++;
      return made;
    });
    const cells = kept.map((position) => clean[position] ?? "");
    search.of(pseudonym);
    search.take(cells, lines.count + 2);
    book.take(cells);
    lines.add(lineOf(cells), ranks[owner] ?? 0, Number(cells[dayColumn]) || 0);
  });
  return {
    rows: lines.count,
    counts,
    lost,
    findings: search.finish(),
    alone: book.finish(),
    write: (path) => writeOwnBlocks(path, blocksBelow(header, lines)),
  };
}

function* blocksBelow(header: readonly string[], lines: RankedLines) {
  yield new TextEncoder().encode(stringify([header]));
  yield* lines.blocks();
}

/** A row as CSV. Most need no quotation marks, and are joined 20 times as fast. */
function lineOf(cells: readonly string[]): string {
  const line = cells.join(",");
  if (!/^[\w.,;-]+$/.test(line)) return stringify([cells]);
  let commas = 0;
  for (let k = 0; k < line.length; k++) if (line.charCodeAt(k) === comma) commas++;
  return commas === cells.length - 1 ? `${line}\n` : stringify([cells]);
}

const comma = 44;

function cellAfter(
  cell: string,
  { action, start, context }: { action: ColumnAction; start: number; context: RewriteContext },
): string {
  switch (action.do) {
    case "keep-known": {
      const { known } = action;
      if (known.filledOnly) return "1";
      if (!known.allows(cell)) return "";
      if (known.column?.name === "age" && ageOf(cell) > 89) return "90";
      return cellAsFine(cell, known);
    }
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
    case "surgeon-code":
      return context.surgeons.get(cell) ?? "";
    default:
      return "";
  }
}

/**
 * A cell no finer than its column is measured, written as it was: with a comma where it had one.
 */
function cellAsFine(cell: string, { column, converted }: KnownColumn): string {
  const [, whole, sign, fraction] = /^(-?\d+)([.,])(\d+)$/.exec(cell) ?? [];
  if (fraction === undefined || !column || !isNumeric(column)) return cell;
  const value = Number(`${whole}.${fraction}`);
  const fine = asFine(value, converted ? { ...column, type: "number" } : column);
  // noughts at its end are room for a number, too
  const figures = `${whole}${fraction}`.replace(/^-?0*/, "").length;
  return fine === value && figures <= 4 ? cell : String(fine).replace(".", sign!);
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
    case "keep-known":
      return action.known.filledOnly
        ? "replaced by 1 where it is filled"
        : "values of its kind and range kept, others blanked; ages over 89 are 90";
    case "drop":
      return action.kind
        ? `dropped: ${identifierKinds[action.kind]}`
        : "dropped: not of the dictionary, and not mapped in the study file";
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
  }
}
