import { DataError } from "./errors.ts";
import { feasibleInterval, type MarginTable } from "./disclosure-intervals.ts";
import { isSmall } from "./small-counts.ts";

/** A two-way table as it may be published; `null` where a count is hidden. */
export interface PublishableCounts {
  cells: (number | null)[][];
  rowTotals: (number | null)[];
  columnTotals: (number | null)[];
  total: number | null;
}

/**
 * Hides the small counts of a two-way table, and as many others as it takes that no small one can be
 * worked out from what is left.
 *
 * Counts from 1 to `smallestCell - 1`, totals included, are hidden (primary suppression). Others
 * are hidden with them (secondary) until, for each small count, everything from 1 to `smallestCell`
 * is possible, judged exactly by {@link feasibleInterval}: a reader learns not even that it is small.
 * Inner counts go before totals, small ones before large ones; what turns out not to be needed is
 * shown again. Both kinds must print alike.
 *
 * @param counts Whole numbers >= 0, rows of one length.
 * @param options.smallestCell From the study file.
 * @example
 * ```ts
 * publishableCounts([[3, 40], [25, 60]], { smallestCell: 11 }).cells; // [[null, null], [null, null]]
 * ```
 * @throws {DataError} on anything but counts, or rows of unequal length.
 */
export function publishableCounts(
  counts: readonly (readonly number[])[],
  { smallestCell }: { smallestCell: number },
): PublishableCounts {
  check(counts);
  const table = withMargins(counts);
  const hidden = table.map((row) => row.map((count) => isSmall(count, smallestCell)));
  const small = cellsOf(table).filter(([i, j]) => hidden[i]![j]);
  const isSafe = ([i, j]: Cell) => {
    const { low, high } = feasibleInterval(table, hidden, [i, j]);
    return low <= 1 && high >= smallestCell;
  };
  for (const cell of small) {
    while (!isSafe(cell)) hideWith(cell, table, hidden, isSafe);
  }
  const others = cellsOf(table).filter(([i, j]) =>
    hidden[i]![j] && !isSmall(table[i]![j]!, smallestCell)
  ).sort((a, b) => cost(table, b) - cost(table, a));
  for (const [i, j] of others) {
    hidden[i]![j] = false;
    if (!small.every(isSafe)) hidden[i]![j] = true;
  }
  const shown = table.map((row, i) => row.map((count, j) => hidden[i]![j] ? null : count));
  const last = shown.pop() ?? [];
  return {
    cells: shown.map((row) => row.slice(0, -1)),
    rowTotals: shown.map((row) => row.at(-1) ?? null),
    columnTotals: last.slice(0, -1),
    total: last.at(-1) ?? null,
  };
}

type Cell = readonly [row: number, column: number];

/** Hides the cheapest rectangle that makes a cell safe, or failing that the cheapest that adds any. */
function hideWith(
  cell: Cell,
  table: MarginTable,
  hidden: boolean[][],
  isSafe: (cell: Cell) => boolean,
): void {
  const [row, column] = cell;
  const rectangles = cellsOf(table).filter(([i, j]) => i !== row && j !== column)
    .map(([i, j]) => {
      const added = ([[row, j], [i, column], [i, j]] as const).filter(([a, b]) => !hidden[a]![b]);
      return { added, price: added.reduce((sum, corner) => sum + cost(table, corner), 0) };
    })
    .filter(({ added }) => added.length > 0)
    .sort((a, b) => a.price - b.price);
  for (const { added } of rectangles) {
    for (const [i, j] of added) hidden[i]![j] = true;
    if (isSafe(cell)) return;
    for (const [i, j] of added) hidden[i]![j] = false;
  }
  const [first] = rectangles;
  if (!first) throw new Error("unreachable: with everything hidden, everything is possible");
  for (const [i, j] of first.added) hidden[i]![j] = true;
}

/** What hiding a count costs the reader: totals dearest, then large counts; 0 protects little. */
function cost(table: MarginTable, [i, j]: Cell): number {
  const count = table[i]![j]!;
  const inner = i < table.length - 1 && j < table[i]!.length - 1;
  return count + (inner ? 1 : 1e9) + (count === 0 ? 1e6 : 0);
}

function cellsOf(table: MarginTable): Cell[] {
  return table.flatMap((row, i) => row.map((_, j): Cell => [i, j]));
}

function withMargins(counts: readonly (readonly number[])[]): number[][] {
  const rows = counts.map((row) => [...row, row.reduce((sum, count) => sum + count, 0)]);
  const width = rows[0]?.length ?? 1;
  const totals = Array.from(
    { length: width },
    (_, j) => rows.reduce((sum, row) => sum + (row[j] ?? 0), 0),
  );
  return [...rows, totals];
}

function check(counts: readonly (readonly number[])[]): void {
  const width = counts[0]?.length ?? 0;
  if (width === 0) throw new DataError("counts", "a table with a row and a column", "none");
  counts.forEach((row, i) => {
    if (row.length !== width) throw new DataError("counts", `rows of length ${width}`, row, i);
    row.forEach((count, j) => {
      if (!(Number.isSafeInteger(count) && count >= 0)) {
        throw new DataError(`counts[${i}]`, "a whole number >= 0", count, j);
      }
    });
  });
}
