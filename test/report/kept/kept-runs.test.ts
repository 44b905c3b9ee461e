import assert from "node:assert/strict";
import { timingLines } from "../../../lib/report/notebooks/mod.ts";

Deno.test("the seconds of a run are told by notebook, slowest first, each with its slowest cells", () => {
  const run = (id: string, total: number, cells: number[]) => ({
    notebook: { id, folder: "", title: id, metadata: {}, minor: 5, cells: [] },
    seconds: { start: 1, total, cells },
  });
  const runs = [
    { ...run("part", 1.5, [0.5]), again: { cells: 3, seconds: 0.7 } },
    run("a", 2, [0.5, 0.01]),
    { ...run("long", 9, [1, 4, 2, 1]), kept: true },
  ];
  assert.deepEqual(timingLines(runs), [
    "long     9.0 s  start: 1.0, cell 2: 4.0, cell 3: 2.0, cell 1: 1.0 (unchanged: of an earlier run)",
    "a        2.0 s  start: 1.0, cell 1: 0.5",
    "part     1.5 s  start: 1.0, cell 1: 0.5 (3 cells run again, in 0.7 s)",
  ]);
});
