import assert from "node:assert/strict";
import fc from "fast-check";
import {
  covariateColumns,
  followUpColumns,
  groupColumn,
} from "../../lib/numerics/columns/columns.ts";
import { DataError } from "../../lib/numerics/columns/errors.ts";

function refused(run: () => unknown, message: string): void {
  assert.throws(run, (error: unknown) => error instanceof DataError && error.message === message);
}

Deno.test("followUpColumns() names argument, row, value and expectation", () => {
  refused(
    () => followUpColumns({ time: [1, -3], event: [0, 1] }),
    "time[1] must be a finite number >= 0, got -3",
  );
  refused(
    () => followUpColumns({ time: [1, NaN], event: [0, 1] }),
    "time[1] must be a finite number >= 0, got NaN",
  );
  refused(
    () => followUpColumns({ time: [1, Infinity], event: [0, 1] }),
    "time[1] must be a finite number >= 0, got Infinity",
  );
  refused(
    () => followUpColumns({ time: [], event: [] }),
    "time must be at least one row, got nothing",
  );
  refused(() => followUpColumns({ time: [1, 2], event: [0, 2] }), "event[1] must be 0 or 1, got 2");
  refused(
    () => followUpColumns({ time: [1, 2], event: [0, 1.5] }, { causes: true }),
    "event[1] must be 0 (censored) or a cause 1, 2, ..., got 1.5",
  );
  refused(
    () => followUpColumns({ time: [1, 2], event: [0] }),
    "event must be of length 2, got an array of length 1",
  );
  refused(
    () => followUpColumns({ time: [1, 2], event: [0, 1], entry: [0, 2] }),
    "entry[1] must be below its time 2, got 2",
  );
  refused(
    () => followUpColumns({ time: [1, 2], event: [0, 1], weight: [1, 0] }),
    "weight[1] must be a finite number > 0, got 0",
  );
});

Deno.test("followUpColumns() orders rows and leaves the caller's arrays alone", () => {
  fc.assert(fc.property(
    fc.array(fc.tuple(fc.nat(20), fc.integer({ min: 0, max: 1 })), { minLength: 1 }),
    (rows) => {
      const time = Float64Array.from(rows, ([t]) => t);
      const event = Float64Array.from(rows, ([, e]) => e);
      const before = time.slice();
      const columns = followUpColumns({ time, event });
      assert.deepEqual(time, before);
      for (let i = 1; i < columns.n; i++) {
        const [a, b] = [columns.order[i - 1]!, columns.order[i]!];
        assert.ok(time[a]! < time[b]! || (time[a] === time[b] && a < b));
      }
    },
  ));
});

Deno.test("followUpColumns() merges times closer than 1e-9 of the largest", () => {
  // By hand: the largest time is 10, so 1e-8 is the tolerance.
  const time = Float64Array.of(10, 3, 3 + 4e-9, 3 + 8e-9, 3 + 3e-8);
  const columns = followUpColumns({ time, event: [1, 1, 1, 1, 1] });
  assert.deepEqual([...columns.time], [10, 3, 3, 3, 3 + 3e-8]);
  assert.equal(time[2], 3 + 4e-9);
});

Deno.test("followUpColumns() merges entries with exits and refuses a row left without time", () => {
  const columns = followUpColumns({ time: [5 + 1e-9, 10], event: [1, 1], entry: [0, 5] });
  assert.deepEqual([...columns.time], [5, 10]);
  assert.deepEqual([...columns.entry!], [0, 5]);
  refused(
    () => followUpColumns({ time: [5 + 1e-9, 10], event: [1, 1], entry: [5, 0] }),
    "entry[0] must be clearly below its time 5.000000001, got 5",
  );
});

Deno.test("groupColumn() sorts labels, numbers by value", () => {
  assert.deepEqual(groupColumn("group", [10, 9, 10]).labels, [9, 10]);
  assert.deepEqual([...groupColumn("group", ["b", "a", "b"]).codes], [1, 0, 1]);
  refused(
    () => groupColumn("group", [1, NaN]),
    "group[1] must be a string or a finite number, got NaN",
  );
});

Deno.test("covariateColumns() needs at least one finite column of the right length", () => {
  refused(() => covariateColumns({}, 2), "covariates must be at least one column, got nothing");
  refused(
    () => covariateColumns({ age: [60, NaN] }, 2),
    "covariates.age[1] must be a finite number, got NaN",
  );
});
