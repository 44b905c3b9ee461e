import { dayOf } from "./date-cell.ts";
import type { FileFault, FileFormat, FormatOptions } from "./file-format.ts";
import { numberOf } from "./number-cell.ts";
import { readRecords } from "./read-records.ts";

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

/** Looks at every column of a file without knowing what it is. Cost: one pass. */
export async function profileColumns(
  path: string,
  options: FormatOptions = {},
): Promise<
  { columns: ColumnProfile[]; rows: number; format: FileFormat | null; fault: FileFault | null }
> {
  const columns: (ColumnProfile & { kept: number[] })[] = [];
  let format: FileFormat | null = null;
  let point = 46;
  let rows = -1;
  const fault = await readRecords(path, {
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
  }, options);
  for (const column of columns) column.sample = Float64Array.from(column.kept).sort();
  return { columns, rows: Math.max(0, rows), format, fault };
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
