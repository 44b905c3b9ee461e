import { DataError } from "../numerics/mod.ts";
import { feasibleInterval, type MarginTable } from "./intervals.ts";
import { isSmall } from "./small-counts.ts";

/** A two-way table as it may be published; `null` where a count is hidden. */
export interface PublishableCounts {
  /** By row, then column; null where hidden. */
  cells: (number | null)[][];
  /** null where hidden. */
  rowTotals: (number | null)[];
  /** null where hidden. */
  columnTotals: (number | null)[];
  /** null where hidden. */
  total: number | null;
}

/**
 * Hides the small counts of a two-way table, and as many others as it takes that no small one can
 * be worked out from what is left.
 *
 * Counts from 1 to `smallestCell - 1`, totals included, are hidden (primary suppression). Others
 * are hidden with them (secondary) until, for each small count, everything from 1 to `smallestCell`
 * is possible, judged exactly by {@link feasibleInterval}: a reader learns not even that
 * it is small.
 * Inner counts go before totals, small ones before large ones; what turns out not to be needed is
 * shown again. Both kinds must print alike.
 *
 * @param counts Whole numbers >= 0, rows of one length.
 * @param options.smallestCell From the study file.
 * @param options.known "rows" where the totals of the rows and of all are told elsewhere, whatever
 * is done here: they are never hidden and count as known in what can be worked out. Of a small row
 * all is hidden, and nothing can keep more than its total open.
 * @param options.keep Columns that are shown elsewhere, to be hidden only where
 * nothing else serves.
 * @example
 * ```ts
 * import { publishableCounts } from "mitral";
 * publishableCounts([[3, 40], [25, 60]], { smallestCell: 11 }).cells; // [[null, null], [null, null]]
 * ```
 * @throws {DataError} on anything but counts, or rows of unequal length.
 */
export function publishableCounts(
  counts: readonly (readonly number[])[],
  { smallestCell, known = "nothing", keep = [] }: {
    smallestCell: number;
    known?: "nothing" | "rows";
    keep?: readonly number[];
  },
): PublishableCounts {
  check(counts);
  const table = withMargins(counts);
  const last = table[0]!.length - 1;
  const mayHide = ([, j]: Cell) => known === "nothing" || j < last;
  const price = (cell: Cell) => cost(table, cell) + (keep.includes(cell[1]) ? 1e7 : 0);
  const hidden = table.map((row, i) =>
    row.map((count, j) => mayHide([i, j]) && isSmall(count, smallestCell))
  );
  const small = cellsOf(table).filter(([i, j]) => hidden[i]![j]);
  const open = ([i, j]: Cell) => {
    const { low, high } = feasibleInterval(table, hidden, [i, j]);
    return { low: Math.max(1, low), high: Math.min(smallestCell, high) };
  };
  const isSafe = (cell: Cell) => {
    const { low, high } = open(cell);
    return low === 1 && high === smallestCell;
  };
  for (const cell of small) {
    while (!isSafe(cell)) {
      if (!hideWith(cell, { table, hidden, mayHide, price, isSafe })) break;
    }
  }
  const asOpen = small.map(open);
  const others = cellsOf(table).filter(([i, j]) =>
    hidden[i]![j] && !isSmall(table[i]![j]!, smallestCell)
  ).sort((a, b) => price(b) - price(a));
  for (const [i, j] of others) {
    hidden[i]![j] = false;
    const stay = small.every((cell, k) => {
      const { low, high } = open(cell);
      return low <= asOpen[k]!.low && high >= asOpen[k]!.high;
    });
    if (!stay) hidden[i]![j] = true;
  }
  const shown = table.map((row, i) => row.map((count, j) => hidden[i]![j] ? null : count));
  const totals = shown.pop() ?? [];
  return {
    cells: shown.map((row) => row.slice(0, -1)),
    rowTotals: shown.map((row) => row.at(-1) ?? null),
    columnTotals: totals.slice(0, -1),
    total: totals.at(-1) ?? null,
  };
}

type Cell = readonly [row: number, column: number];

/**
 * Hides the cheapest rectangle that makes a cell safe, or failing that the cheapest that adds any;
 * false where there is none.
 */
function hideWith(
  cell: Cell,
  { table, hidden, mayHide, price, isSafe }: {
    table: MarginTable;
    hidden: boolean[][];
    mayHide: (cell: Cell) => boolean;
    price: (cell: Cell) => number;
    isSafe: (cell: Cell) => boolean;
  },
): boolean {
  const [row, column] = cell;
  const rectangles = cellsOf(table)
    .filter((corner) => corner[0] !== row && corner[1] !== column && mayHide(corner))
    .map(([i, j]) => {
      const added = ([[row, j], [i, column], [i, j]] as const).filter(([a, b]) => !hidden[a]![b]);
      return { added, price: added.reduce((sum, corner) => sum + price(corner), 0) };
    })
    .filter(({ added }) => added.length > 0)
    .sort((a, b) => a.price - b.price);
  for (const { added } of rectangles) {
    for (const [i, j] of added) hidden[i]![j] = true;
    if (isSafe(cell)) return true;
    for (const [i, j] of added) hidden[i]![j] = false;
  }
  const [first] = rectangles;
  for (const [i, j] of first?.added ?? []) hidden[i]![j] = true;
  return first !== undefined;
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
