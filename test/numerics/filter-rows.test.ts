import assert from "node:assert/strict";
import { DataError } from "../../lib/numerics/columns/errors.ts";
import { filterRows } from "../../lib/numerics/columns/filter-rows.ts";

Deno.test("filterRows() keeps the same rows of every column, each of its kind (by hand)", () => {
  const columns = {
    time: [1, 2, 3],
    event: Uint8Array.of(1, 0, 1),
    label: ["a", "b", "c"],
    weight: undefined as Float64Array | undefined,
  };
  const kept = filterRows(columns, (row) => columns.event[row] === 1);
  assert.deepEqual(kept, {
    time: [1, 3],
    event: Uint8Array.of(1, 1),
    label: ["a", "c"],
    weight: undefined,
  });
  assert.deepEqual(columns.time, [1, 2, 3]);
  assert.throws(() => filterRows({ a: [1], b: [1, 2] }, () => true), DataError);
});
