import assert from "node:assert/strict";
import { join } from "node:path";
import { notebookProblems } from "../../../lib/report/check-notebooks.ts";
import { makeNotebook } from "./make-notebook.ts";

// The compiler reads the whole library for it.
Deno.test("notebookProblems() finds stored outputs, long cells, lint and type errors", async () => {
  const folder = await Deno.makeTempDir({ prefix: "mitral-test-" });
  try {
    const raw = JSON.parse(
      makeNotebook(["var x = 1;\nx", `${"\n".repeat(15)}1`, "const s: string = 1;\ns", "2"]),
    );
    raw.cells[3].outputs = [{}];
    raw.cells[3].execution_count = 1;
    raw.cells[3].id = raw.cells[0].id;
    await Deno.writeTextFile(join(folder, "bad.ipynb"), JSON.stringify(raw));
    assert.deepEqual(await notebookProblems(folder), [
      "bad: must give each cell an id of its own, has cell-1 twice",
      "bad, cell 2: must have at most 12 lines, has 16",
      "bad, cell 4: must not store outputs",
      "bad, cell 4: must not store an execution count",
      "bad, cell 1, line 1: `var` keyword is not allowed. (lint: no-var)",
      "bad, cell 3, line 1: TypeScript 2322: Type 'number' is not assignable to type 'string'.",
    ]);
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
});
