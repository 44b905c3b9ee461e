import { deepEqual, equal, match } from "node:assert/strict";
import { join } from "node:path";
import { quickReport, withWorkspace } from "../workspace.ts";

const needs = 'const followUp = { label: "Leaks", treated: [1, 1] };\n';

Deno.test("a notebook in which nothing is left to compare ends there, says so, and fails nothing", () =>
  withWorkspace({
    "01-leaks": [
      'import { needsBothGroups, note, say } from "mitral";\nsay("First.")',
      `${needs}needsBothGroups(followUp);\nsay("Second.")`,
      'say("Third.")',
    ],
    "02-other": ['"One."'],
  }, async ({ study, notebooks, out }) => {
    const report = async () => {
      const { model } = await quickReport({ study, notebooks, out });
      deepEqual(model.failures, []);
      const [run, other] = model.runs;
      deepEqual([run?.stopped, other?.stopped], [2, undefined]);
      deepEqual(run?.outputs.map((cell) => cell.length), [1, 1, 0]);
      deepEqual(model.items.notes.map(({ item: { id, about }, cell }) => ({ id, about, cell })), [
        { id: "01-leaks-ends", about: "cannot-tell", cell: 2 },
      ]);
      match(model.items.notes[0]!.item.text, /^Nobody of one group could be followed for “Leaks”/);
      return run?.kept ?? false;
    };
    equal(await report(), false);
    const read = () => Deno.readTextFile(join(out, "notebooks/01-leaks.ipynb"));
    const executed = await read();
    const counts = JSON.parse(executed).cells.map((cell: { execution_count?: number | null }) =>
      cell.execution_count
    );
    deepEqual(counts.filter((count: unknown) => count !== undefined), [1, 2, null]);
    match(await Deno.readTextFile(join(out, "supplement.html")), /could be followed for “Leaks”/);
    equal(await report(), true, "it is kept like any other");
    equal(await read(), executed);
  }));
