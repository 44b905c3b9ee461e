import { type DateOrder, dateOrders, dayOf, numberOf } from "../cells/mod.ts";
import { basename } from "node:path";
import {
  type FileFault,
  type FileFormat,
  type ReadingProgress,
  readSheets,
  type RecordTaker,
} from "../file/mod.ts";
import { type Layout, readLaidOut } from "../layout/mod.ts";

/** What a column of an unknown file looks like. Its values stay in memory. */
export interface ColumnProfile {
  heading: string;
  position: number;
  filled: number;
  numbers: number;
  dates: number;
  /** Cells that are dates in each of the orders in which dates are written. */
  readable: Record<DateOrder, number>;
  /** The latest day of them, counted from 1970; -Infinity where there is none. */
  latest: Record<DateOrder, number>;
  /** Up to 5,000 of its numbers, ascending. */
  sample: Float64Array;
  /**
   * How often each of its first 400 different numbers occurs, of its first 400 dates, and of its
   * first 400 other texts; more are not kept.
   */
  values: Map<string, number>;
  /** Whether it has more different values than a list of codes has. */
  many: boolean;
}

const mostNumbers = 5000;
const mostValues = 400;
// more different values than this are no list of codes: common practice, no source
const mostCodes = 60;
const mostRows = 3000;

/** A table of which nothing is known: a file, or a sheet of a workbook. */
export interface TableProfile {
  /** Name of the sheet; `null` where the file is no workbook. */
  sheet: string | null;
  columns: ColumnProfile[];
  rows: number;
  format: FileFormat | null;
  /** Its first rows, by the place of each column: what two columns say together. */
  first: string[][];
}

/** Looks at every column of a file without knowing what it is. Cost: one pass. */
export async function profileColumns(
  path: string,
  layout: Layout = {},
  progress?: (progress: ReadingProgress) => void,
): Promise<Omit<TableProfile, "sheet"> & { fault: FileFault | null }> {
  const { taker, profile } = profiler(layout.sheet ?? null);
  const file = basename(path);
  let read = -1;
  const told: RecordTaker = {
    ...taker,
    take(record, line) {
      read++;
      taker.take(record, line);
    },
    progress: (bytes, total) => progress?.({ file, rows: Math.max(0, read), bytes, total }),
  };
  const fault = await readLaidOut(path, layout, told);
  const { columns, rows, format, first } = profile();
  return { columns, rows, format, first, fault };
}

/** {@link profileColumns} of every sheet of a workbook; of any other file, of the file itself. */
export async function profileSheets(
  path: string,
): Promise<{ tables: TableProfile[]; fault: FileFault | null }> {
  const profiles: (() => TableProfile)[] = [];
  const fault = await readSheets(path, (sheet) => {
    const { taker, profile } = profiler(sheet);
    profiles.push(profile);
    return taker;
  });
  return { tables: profiles.map((profile) => profile()), fault };
}

type Kind = "number" | "date" | "text";

/** A column while it is looked at, with how many different values of each kind were kept. */
type LookedAt = ColumnProfile & { kept: number[]; different: Record<Kind, number> };

function profiler(sheet: string | null): { taker: RecordTaker; profile: () => TableProfile } {
  const columns: LookedAt[] = [];
  let format: FileFormat | null = null;
  let point = 46;
  let rows = -1;
  const first: string[][] = [];
  const taker: RecordTaker = {
    begin(found) {
      format = found;
      point = found.decimal === "," ? 44 : 46;
    },
    take(record) {
      if (++rows === 0) {
        record.slice(0, 2000).forEach((heading, position) =>
          columns.push({
            heading: heading.trim(),
            position,
            filled: 0,
            numbers: 0,
            dates: 0,
            readable: { "year-first": 0, "day-first": 0, "month-first": 0 },
            latest: { "year-first": -Infinity, "day-first": -Infinity, "month-first": -Infinity },
            sample: new Float64Array(),
            values: new Map(),
            many: false,
            kept: [],
            different: { number: 0, date: 0, text: 0 },
          })
        );
        return;
      }
      if (first.length < mostRows) first.push(record.map((cell) => cell.trim()));
      for (const column of columns) look(column, record[column.position] ?? "", point);
    },
  };
  return {
    taker,
    profile() {
      for (const column of columns) column.sample = Float64Array.from(column.kept).sort();
      return { sheet, columns, rows: Math.max(0, rows), format, first };
    },
  };
}

function look(column: LookedAt, cell: string, point: number): void {
  const text = cell.trim();
  if (text === "") return;
  column.filled++;
  const number = numberOf(text, point);
  let kind: Kind = "number";
  if (!Number.isNaN(number)) {
    column.numbers++;
    if (column.kept.length < mostNumbers) column.kept.push(number);
  } else {
    kind = "text";
    for (const order of dateOrders) {
      const day = dayOf(text, order);
      if (Number.isNaN(day)) continue;
      column.readable[order]++;
      column.latest[order] = Math.max(column.latest[order], day);
      kind = "date";
    }
    if (kind === "date") column.dates++;
  }
  const count = column.values.get(text);
  if (count !== undefined) column.values.set(text, count + 1);
  else if (column.different[kind]++ < mostValues) column.values.set(text, 1);
  if (column.values.size > mostCodes) column.many = true;
}
