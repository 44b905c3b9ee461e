import { dayOf, numberOf } from "../cells/mod.ts";
import {
  type FileFault,
  type FileFormat,
  type FormatOptions,
  readRecords,
  readSheets,
  type RecordTaker,
} from "../file/mod.ts";

/** What a column of an unknown file looks like. Its values stay in memory. */
export interface ColumnProfile {
  heading: string;
  position: number;
  filled: number;
  numbers: number;
  dates: number;
  /** Up to 5,000 of its numbers, ascending. */
  sample: Float64Array;
  /** How often each of its first 60 different values occurs; more are not kept. */
  values: Map<string, number>;
  /** Whether it has more different values than are kept. */
  many: boolean;
}

const mostNumbers = 5000;
const mostValues = 60;

/** A table of which nothing is known: a file, or a sheet of a workbook. */
export interface TableProfile {
  /** Name of the sheet; `null` where the file is no workbook. */
  sheet: string | null;
  columns: ColumnProfile[];
  rows: number;
  format: FileFormat | null;
}

/** Looks at every column of a file without knowing what it is. Cost: one pass. */
export async function profileColumns(
  path: string,
  options: FormatOptions = {},
): Promise<Omit<TableProfile, "sheet"> & { fault: FileFault | null }> {
  const { taker, profile } = profiler(options.sheet ?? null);
  const fault = await readRecords(path, taker, options);
  const { columns, rows, format } = profile();
  return { columns, rows, format, fault };
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

function profiler(sheet: string | null): { taker: RecordTaker; profile: () => TableProfile } {
  const columns: (ColumnProfile & { kept: number[] })[] = [];
  let format: FileFormat | null = null;
  let point = 46;
  let rows = -1;
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
            sample: new Float64Array(),
            values: new Map(),
            many: false,
            kept: [],
          })
        );
        return;
      }
      for (const column of columns) look(column, record[column.position] ?? "", point);
    },
  };
  return {
    taker,
    profile() {
      for (const column of columns) column.sample = Float64Array.from(column.kept).sort();
      return { sheet, columns, rows: Math.max(0, rows), format };
    },
  };
}

function look(column: ColumnProfile & { kept: number[] }, cell: string, point: number): void {
  const text = cell.trim();
  if (text === "") return;
  column.filled++;
  const number = numberOf(text, point);
  if (!Number.isNaN(number)) {
    column.numbers++;
    if (column.kept.length < mostNumbers) column.kept.push(number);
  } else if (!Number.isNaN(dayOf(text, "day-first")) || !Number.isNaN(dayOf(text, "month-first"))) {
    column.dates++;
  }
  const count = column.values.get(text);
  if (count !== undefined) column.values.set(text, count + 1);
  else if (column.values.size < mostValues) column.values.set(text, 1);
  else column.many = true;
}
