import { stringify } from "csv-stringify/sync";
import { type DateOrder, dayOf, yearOf, yearsBetween } from "../cells/mod.ts";
import type { Pseudonymizer } from "./key.ts";
import { type KnownColumn, knownColumns } from "./known-columns.ts";
import { type ColumnAction, type PlannedColumn, searchOf } from "./plan.ts";
import { eachRow, type RawFile } from "./read.ts";
import { ageOf, type IdentifierFinding, identifierKinds } from "../identifiers/mod.ts";
import { type Aloneness, aloneness } from "./aloneness.ts";
import { lineStore } from "./line-store.ts";
import type { PatientBook } from "./patient-book.ts";
import { asFine } from "./clean-cells.ts";
import { isNumeric } from "../dictionary/mod.ts";

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
  /** Patients whom age, sex, year and intended operation together tell from all others. */
  alone: Aloneness;
  /** Writes it as CSV, for its owner's eyes only. */
  write(path: string): Promise<void>;
}

/**
 * Carries a plan out, row by row; rows come out in the order of pseudonyms. Of the table only the
 * clean lines are held.
 */
export async function rewrite(
  file: RawFile,
  columns: readonly PlannedColumn[],
  context: RewriteContext,
): Promise<Rewritten> {
  const { patients } = context;
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
        : cellAfter(cell, { action, start, context });
      if (action.do === "drop" || made !== cell) counts[position]!++;
      if (made === "" && action.do !== "drop") lost[position]!++;
      return made;
    });
    const cells = kept.map((position) => clean[position] ?? "");
    search.of(patients.pseudonym(owner));
    search.take(cells, lines.count + 2);
    book.take(cells);
    owners.push(owner);
    days.push(Number(cells[dayColumn]) || 0);
    lines.add(stringify([cells]));
  });
  return {
    rows: lines.count,
    counts,
    lost,
    findings: search.finish(),
    alone: book.finish(),
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

const blockBytes = 2 ** 20;

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
