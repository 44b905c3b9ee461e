import { printedCount } from "../../disclosure/solver/mod.ts";
import type { TableColumn, TableItem, TableRow } from "../items/mod.ts";
import { countOf, type Notes, sizeOf } from "./facts.ts";

const setIn = "\u2003";

/** A column of one group's counts. */
export interface Column {
  key: string;
  group: string;
  size: number;
}

/** One row of a block: its name, and where it stands. */
export interface Level {
  name: string;
  row: TableRow;
  at: number;
}

/**
 * Reads a table of characteristics: columns headed with the size of a group, rows of "12 (34%)",
 * levels of one characteristic set in beneath its name.
 *
 * Levels and those with no value add up to the group, or to those of it to whom the characteristic
 * applies; of a group, the matched and the unmatched add up to everybody. Names are those of
 * heading and rows, so that a count which stands in several tables is one count.
 */
export function readCharacteristics(table: TableItem, notes: Notes): void {
  const columns = table.columns.flatMap((column) => sizedColumn(column) ?? []);
  if (columns.length === 0) return;
  for (const { group, size } of columns) {
    notes.range(sizeOf(group), { low: size, high: size }, table.id);
  }
  for (const block of blocksOf(table)) {
    for (const column of columns) readBlock(block, { column, table, notes });
  }
}

/** The matched and the unmatched of a group are the group, in each thing that is counted of all. */
export function relateMatched(notes: Notes): void {
  const names = [...notes.places.keys()];
  for (const name of names) {
    const [, group, what] = /^(.+), matched: (.+)$/.exec(name) ?? [];
    if (group === undefined || what === undefined) continue;
    const parts = [name, countOf(`${group}, unmatched`, what)];
    const whole = countOf(group, what);
    if (notes.has(whole)) notes.sum(whole, parts, `matched and unmatched: ${what}`);
    notes.protect.add(parts[1]!);
  }
}

/** A column headed with a group and its size. */
export function sizedColumn({ key, label }: TableColumn): Column | undefined {
  const [, group, size] = /^(.+?)\s*\(n\s=\s([\d,]+)\)$/.exec(label.replaceAll("\u00a0", " ")) ??
    [];
  return group === undefined || size === undefined
    ? undefined
    : { key, group, size: Number(size.replaceAll(",", "")) };
}

/** One characteristic. */
export interface Block {
  name: string;
  /** To whom of the group it applies, where not to all: "if final repair". */
  ofSome: string | undefined;
  head: Level;
  levels: Level[];
}

/** The characteristics of a table, each with its levels. */
export function blocksOf(table: TableItem): Block[] {
  const [first] = table.columns;
  const blocks: Block[] = [];
  table.rows.forEach((row, at) => {
    const text = String(row[first!.key] ?? "");
    if (text.startsWith(setIn)) {
      blocks.at(-1)?.levels.push({ name: text.slice(1), row, at });
      return;
    }
    const [name = text] = text.split(/, |; | \(if /);
    blocks.push({
      name,
      ofSome: /(?: \((?=if )|; (?=in ))(.+?)\)?$/.exec(text)?.[1],
      head: { name, row, at },
      levels: [],
    });
  });
  return blocks;
}

function readBlock(
  { name, ofSome, head, levels }: Block,
  { column, table, notes }: { column: Column; table: TableItem; notes: Notes },
): void {
  const of = (what: string) => countOf(column.group, what);
  const whole = ofSome ? of(`${name}, applies`) : sizeOf(column.group);
  if (ofSome) {
    notes.sum(sizeOf(column.group), [whole, of(`${name}, does not apply`)], table.id);
    for (const same of whomItMeans(ofSome, column.group, notes)) {
      notes.suppose(whole, [same], `${table.id}, ${ofSome}`);
    }
  }
  const counted = levels.filter(({ name }) => name !== "missing");
  const isCount = counted.length > 0
    ? counted.some(({ row }) => printedCount(row[column.key]))
    : isCountRow(head.row, table);
  const unknown = levels.find(({ name }) => name === "missing");
  const missing = of(`${name}, missing`);
  const place = (level: Level) => ({ table: table.id, row: level.at, key: column.key });
  const known = unknown ? of(`${name}, known`) : whole;
  if (unknown) {
    notes.cell(missing, unknown.row[column.key], place(unknown));
    notes.sum(whole, [known, missing], table.id);
  }
  if (!isCount) return;
  const parts = counted.length > 0 ? counted : [head];
  const names = parts.map((level) => {
    const part = counted.length > 0 ? of(`${name}, ${level.name}`) : of(name);
    notes.cell(part, level.row[column.key], place(level), known);
    return part;
  });
  if (counted.length > 0) notes.sum(known, names, table.id);
  else notes.rest(known, names, table.id);
}

/** Counts that stand elsewhere of those to whom a characteristic applies. */
function whomItMeans(words: string, group: string, { knows: { groups } }: Notes): string[] {
  const final = (procedure: string) => countOf(group, `Final procedure, ${procedure}`);
  if (words === "if final repair") return [final("repair")];
  if (words === "if final replacement") return [final("replacement")];
  if (words !== "if intended and final differ") return [];
  return [final(group === groups[0] ? "replacement" : "repair")];
}

/** A row of counts has one in some column; one of dashes alone, or of means, does not tell. */
export function isCountRow(row: TableRow, table: TableItem): boolean {
  return table.columns.slice(1).some(({ key }) => /^[\d,]+ \(\d+%\)$/.test(String(row[key])));
}
