import { printedCount } from "../../disclosure/solver/mod.ts";
import type { TableColumn, TableItem } from "../items/mod.ts";
import { kindOf } from "../show/mod.ts";
import { readCharacteristics, relateMatched } from "./characteristics.ts";
import {
  countOf,
  type Facts,
  Notes,
  type Readable,
  type ReaderKnows,
  type ShownFinding,
  sizeOf,
} from "./facts.ts";
import { readDifferences } from "./differences.ts";
import { readFigure } from "./figures.ts";
import { readMeaning, relateAtRisk } from "./meanings.ts";
import { finalRepair } from "./names.ts";
import { relateProgramme } from "./programme.ts";
import { isEffective } from "./samples.ts";
import { readSentence } from "./sentences.ts";

/** Reads everything that is to be published as one would who wants to know of the few. */
export function readAll(
  { tables, figures, findings = [], said = [] }: Readable,
  knows: ReaderKnows,
): Facts {
  const notes = new Notes(knows);
  for (const table of tables) {
    const before = notes.places.size;
    readCharacteristics(table, notes);
    readMeaning(table, notes);
    if (notes.places.size === before) readCounts(table, notes);
  }
  readDifferences(tables, notes);
  for (const figure of figures) readFigure(figure, notes);
  for (const finding of findings) readFinding(finding, notes);
  for (const sentence of said) readSentence(sentence, notes);
  relateMatched(notes);
  relateAtRisk(notes);
  relateProgramme(notes, finalRepair);
  return notes;
}

/**
 * Sizes of a finding's groups, which are those of a population, of everybody, or of the matched.
 */
function readFinding({ id, design, population, groups }: ShownFinding, notes: Notes): void {
  const names = groups.flatMap(({ n }, k) => {
    const group = notes.knows.groups[k];
    if (n === undefined || group === undefined) return [];
    const name = design === "matched"
      ? sizeOf(`${group}, matched`)
      : population
      ? countOf(population.label, group)
      : sizeOf(group);
    notes.found(name, { low: n, high: n }, { finding: id });
    if (name !== sizeOf(group)) notes.rest(sizeOf(group), [name], `finding ${id}`);
    return [name];
  });
  if (population && design !== "matched" && names.length === groups.length) {
    notes.suppose(sizeOf(population.label), names, `finding ${id}`);
  }
}

const countLabel =
  /patients|pairs|events|excluded|missing|not known|followed|observed|converted|not recorded|died|matched|everyone|operations|number/i;

/**
 * A table whose meaning is not known: columns that look like counts. Where in every row that shows
 * all of them one is the sum of the others, a reader supposes that it is so in all rows; so with a
 * last row and those above it.
 */
function readCounts(table: TableItem, notes: Notes): void {
  if (isEffective(table)) return;
  const columns = table.columns.filter((column) => isCountColumn(table, column));
  const name = (row: number, { key }: TableColumn) => countOf(table.id, `row ${row + 1}, ${key}`);
  table.rows.forEach((row, at) =>
    columns.forEach((column) => {
      // nothing is no count of anybody; a bound and a dash are
      if (row[column.key] === null || row[column.key] === "") return;
      notes.cell(name(at, column), row[column.key], { table: table.id, row: at, key: column.key });
    })
  );
  const value = (row: number, column: TableColumn) => table.rows[row]?.[column.key];
  const rows = [...table.rows.keys()];
  for (const whole of columns.length > 2 ? columns : []) {
    const parts = columns.filter((column) => column !== whole);
    const adds = addsUp(rows.map((row) => [whole, ...parts].map((column) => value(row, column))));
    if (!adds) continue;
    for (const row of rows) {
      notes.suppose(name(row, whole), parts.map((part) => name(row, part)), table.id);
    }
  }
  const last = rows.at(-1);
  if (last === undefined || rows.length < 3) return;
  const above = rows.slice(0, -1);
  const adds = addsUp(columns.map((column) => [last, ...above].map((row) => value(row, column))));
  for (const column of adds ? columns : []) {
    notes.suppose(name(last, column), above.map((row) => name(row, column)), table.id);
  }
}

function isCountColumn(table: TableItem, column: TableColumn): boolean {
  if (column.unit !== undefined || column.digits !== undefined) return false;
  const values = table.rows.map((row) => row[column.key]).filter((value) => value !== null);
  if (values.length === 0 || !values.every((value) => printedCount(value))) return false;
  const bounded = values.some((value) => /^[<>] \d/.test(String(value)));
  return bounded || countLabel.test(column.label) && kindOf(table, column) === "number";
}

/**
 * Whether in each line that is shown whole, and in one at least, the first number is the sum
 * of the others.
 */
function addsUp(lines: readonly (readonly unknown[])[]): boolean {
  const whole = lines.filter((line) =>
    line.every((value) => typeof value === "number")
  ) as number[][];
  return whole.length > 0 &&
    whole.every(([total = 0, ...parts]) =>
      total > 0 && parts.reduce((sum, part) => sum + part, 0) === total
    );
}
