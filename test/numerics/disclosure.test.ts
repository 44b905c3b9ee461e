import fc from "fast-check";
import assert from "node:assert/strict";
import { DataError } from "../../lib/numerics/columns/errors.ts";
import {
  type PublishableCounts,
  publishableCounts,
} from "../../lib/disclosure/publishable-counts.ts";
import { byPencil } from "../disclosure/by-pencil.ts";
import { feasibleInterval } from "../../lib/disclosure/intervals.ts";
import { publishableShare } from "../../lib/disclosure/small-counts.ts";

type Counts = number[][];

/** Everything a reader sees, margins last, `null` where hidden. */
function asSeen({ cells, rowTotals, columnTotals, total }: PublishableCounts): (number | null)[][] {
  return [...cells.map((row, i) => [...row, rowTotals[i] ?? null]), [...columnTotals, total]];
}

function withMargins(counts: Counts): Counts {
  const rows = counts.map((row) => [...row, row.reduce((a, b) => a + b, 0)]);
  return [...rows, rows[0]!.map((_, j) => rows.reduce((sum, row) => sum + row[j]!, 0))];
}

/** What is possible of each cell, by trying every table with counts up to `most`. */
function byTrying(seen: (number | null)[][], most: number): { low: number; high: number }[][] {
  const rows = seen.length - 1;
  const columns = seen[0]!.length - 1;
  const found = seen.map((row) => row.map(() => ({ low: Infinity, high: -Infinity })));
  const counts: Counts = Array.from({ length: rows }, () => new Array(columns).fill(0));
  const visit = (place: number) => {
    if (place === rows * columns) {
      const all = withMargins(counts);
      if (seen.some((row, i) => row.some((value, j) => value !== null && value !== all[i]![j]))) {
        return;
      }
      all.forEach((row, i) =>
        row.forEach((value, j) => {
          const range = found[i]![j]!;
          range.low = Math.min(range.low, value);
          range.high = Math.max(range.high, value);
        })
      );
      return;
    }
    const [i, j] = [Math.floor(place / columns), place % columns];
    const shown = seen[i]![j];
    for (let value = shown ?? 0; value <= (shown ?? most); value++) {
      counts[i]![j] = value;
      visit(place + 1);
    }
  };
  visit(0);
  return found;
}

const tables = (rows: number, columns: number, most: number) =>
  fc.array(
    fc.array(fc.oneof(fc.constant(0), fc.nat(3), fc.nat(most)), {
      minLength: columns,
      maxLength: columns,
    }),
    { minLength: rows, maxLength: rows },
  );

Deno.test("publishableCounts() hides what would give a small count away (by hand)", () => {
  // one small count in a two by two table: all four go, since each follows from any other
  assert.deepEqual(publishableCounts([[3, 40], [25, 60]], { smallestCell: 11 }), {
    cells: [[null, null], [null, null]],
    rowTotals: [43, 85],
    columnTotals: [28, 100],
    total: 128,
  });
  // nothing small: everything is shown
  assert.deepEqual(publishableCounts([[30, 0], [25, 60]], { smallestCell: 11 }).cells, [
    [30, 0],
    [25, 60],
  ]);
  // in three rows one is left alone
  const three = publishableCounts([[3, 40], [25, 60], [500, 700]], { smallestCell: 11 });
  assert.deepEqual(three.cells[2], [500, 700]);
});

Deno.test("feasibleInterval() knows what a table gives away (by hand)", () => {
  const table = [[3, 40, 43], [25, 60, 85], [28, 100, 128]];
  const hide = (...cells: [number, number][]) =>
    table.map((row, i) => row.map((_, j) => cells.some(([a, b]) => a === i && b === j)));
  // alone in its row: 43 - 40
  assert.deepEqual(feasibleInterval(table, hide([0, 0]), [0, 0]), { low: 3, high: 3 });
  // a rectangle: up by at most min(40, 25), down by at most 3
  const four = hide([0, 0], [0, 1], [1, 0], [1, 1]);
  assert.deepEqual(feasibleInterval(table, four, [0, 0]), { low: 0, high: 28 });
  // with its row's, its column's and the grand total: by anything
  const margins = hide([0, 0], [0, 2], [2, 0], [2, 2]);
  assert.deepEqual(feasibleInterval(table, margins, [0, 0]), { low: 0, high: Infinity });
});

Deno.test("feasibleInterval() agrees with trying every table", () => {
  fc.assert(
    fc.property(
      fc.constantFrom([2, 2], [2, 3], [3, 2]).chain(([rows, columns]) =>
        fc.tuple(
          tables(rows!, columns!, 5),
          fc.array(fc.boolean(), { minLength: rows! * columns!, maxLength: rows! * columns! }),
        )
      ),
      ([counts, choice]) => {
        const all = withMargins(counts);
        const columns = counts[0]!.length;
        const hidden = all.map((row, i) =>
          row.map((_, j) => i < counts.length && j < columns && choice[i * columns + j]!)
        );
        const seen = all.map((row, i) => row.map((value, j) => hidden[i]![j] ? null : value));
        // with every total shown no count is above the grand total
        const tried = byTrying(seen, Math.min(15, all.at(-1)!.at(-1)!));
        for (let i = 0; i < counts.length; i++) {
          for (let j = 0; j < columns; j++) {
            assert.deepEqual(feasibleInterval(all, hidden, [i, j]), tried[i]![j]);
          }
        }
      },
    ),
    { numRuns: 60, seed: 5 },
  );
});

Deno.test("publishableCounts() leaves every small count as open as its being small", () => {
  fc.assert(
    fc.property(
      fc.tuple(fc.integer({ min: 1, max: 6 }), fc.integer({ min: 1, max: 5 })).chain(([r, c]) =>
        tables(r, c, 60)
      ),
      fc.integer({ min: 2, max: 12 }),
      (counts, smallestCell) => {
        const all = withMargins(counts);
        const seen = asSeen(publishableCounts(counts, { smallestCell }));
        const known = byPencil(seen);
        const hidden = seen.map((row) => row.map((value) => value === null));
        all.forEach((row, i) =>
          row.forEach((count, j) => {
            const shown = seen[i]![j];
            if (shown !== null) assert.equal(shown, count);
            if (count === 0 || count >= smallestCell) return;
            assert.equal(shown, null);
            const { low, high } = feasibleInterval(all, hidden, [i, j]);
            assert.ok(low <= 1 && high >= smallestCell, `${low} to ${high}`);
            // an attack that knows nothing of the library's own reckoning
            const pencil = known[i]![j]!;
            assert.ok(pencil.low <= 1 && pencil.high >= smallestCell);
          })
        );
      },
    ),
    { numRuns: 400, seed: 6 },
  );
});

Deno.test("publishableCounts() of known rows keeps small counts open, but for those of small rows", () => {
  // by hand: 5 of 25 and 9 of 39 hide each other's row; the whole of each row is known
  const two = publishableCounts([[5, 20, 0], [30, 9, 0]], { smallestCell: 11, known: "rows" });
  assert.deepEqual(two.cells, [[null, null, 0], [null, null, 0]]);
  assert.deepEqual([two.rowTotals, two.total], [[25, 39], 64]);
  fc.assert(
    fc.property(
      fc.tuple(fc.integer({ min: 1, max: 3 }), fc.integer({ min: 1, max: 5 })).chain(([r, c]) =>
        tables(r, c, 60)
      ),
      fc.integer({ min: 2, max: 12 }),
      (counts, smallestCell) => {
        const all = withMargins(counts);
        const found = publishableCounts(counts, { smallestCell, known: "rows", keep: [0] });
        const seen = asSeen(found);
        const hidden = seen.map((row) => row.map((value) => value === null));
        const known = byPencil(seen);
        all.forEach((row, i) => {
          const total = row.at(-1)!;
          assert.equal(seen[i]!.at(-1), total);
          row.slice(0, -1).forEach((count, j) => {
            if (count === 0 || count >= smallestCell) return;
            assert.equal(seen[i]![j], null);
            if (total < smallestCell || row.length === 2) return;
            const { low, high } = feasibleInterval(all, hidden, [i, j]);
            assert.ok(low <= 1 && high >= smallestCell, `${low} to ${high}`);
            const pencil = known[i]![j]!;
            assert.ok(pencil.low <= 1 && pencil.high >= smallestCell);
          });
        });
      },
    ),
    { numRuns: 400, seed: 7 },
  );
});

Deno.test("publishableCounts() hides no more than it must", () => {
  fc.assert(
    fc.property(tables(3, 3, 60), (counts) => {
      const all = withMargins(counts);
      const seen = asSeen(publishableCounts(counts, { smallestCell: 5 }));
      const hidden = seen.map((row) => row.map((value) => value === null));
      const small: [number, number][] = [];
      all.forEach((row, i) => row.forEach((n, j) => n > 0 && n < 5 && small.push([i, j])));
      all.forEach((row, i) =>
        row.forEach((count, j) => {
          if (!hidden[i]![j] || (count > 0 && count < 5)) return;
          hidden[i]![j] = false;
          const safe = small.every((cell) => {
            const { low, high } = feasibleInterval(all, hidden, cell);
            return low <= 1 && high >= 5;
          });
          hidden[i]![j] = true;
          assert.ok(!safe, `cell ${i}, ${j} need not be hidden`);
        })
      );
    }),
    { numRuns: 150, seed: 7 },
  );
});

Deno.test("publishableShare() gives neither a small part nor a small rest away", () => {
  assert.equal(publishableShare(20, 40, 11), 0.5);
  assert.equal(publishableShare(0, 40, 11), 0);
  assert.equal(publishableShare(40, 40, 11), 1);
  assert.equal(publishableShare(4, 40, 11), null);
  assert.equal(publishableShare(36, 40, 11), null);
  assert.equal(publishableShare(0, 8, 11), null);
  assert.equal(publishableShare(0, 0, 11), null);
});

Deno.test("publishableCounts() refuses what is no table of counts", () => {
  assert.throws(() => publishableCounts([], { smallestCell: 11 }), DataError);
  assert.throws(() => publishableCounts([[1, 2], [3]], { smallestCell: 11 }), DataError);
  assert.throws(() => publishableCounts([[1.5]], { smallestCell: 11 }), DataError);
});
