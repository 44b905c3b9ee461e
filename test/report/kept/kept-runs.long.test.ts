import assert from "node:assert/strict";
import { join } from "node:path";
import fc from "fast-check";
import { buildReport } from "../../../lib/report/build-report.ts";
import { makeNotebook } from "../notebooks/make-notebook.ts";
import { filesBelow, withWorkspace } from "../workspace.ts";
import { cells } from "./kept-parts.ts";

Deno.test("a notebook is run again only if something that its results follow from has changed", async () => {
  const both = { "01-a": cells, "02-b": ['console.log("three")'] };
  await withWorkspace(both, async ({ folder, study, notebooks, out }) => {
    /** Which notebooks a run took from an earlier one. */
    const run = async (options: { fresh?: boolean; visits?: string } = {}) => {
      const { model } = await buildReport({ study, notebooks, out, typeCheck: false, ...options });
      const files = await filesBelow(out);
      files.delete("manifest.json"); // it alone has times
      files.delete("excluded.csv");
      return { kept: model.runs.map(({ kept }) => kept ?? false), files };
    };
    const first = await run();
    assert.deepEqual(first.kept, [false, false]);
    const second = await run();
    assert.deepEqual(second.kept, [true, true]);
    assert.deepEqual(second.files, first.files, "and the report is the same to the byte");
    assert.deepEqual((await run({ fresh: true })).kept, [false, false]);
    const changed = async (what: string, change: () => Promise<void>, kept: boolean[]) => {
      await change();
      assert.deepEqual((await run()).kept, kept, what);
      assert.deepEqual((await run()).kept, [true, true], `${what}, again`);
    };
    const write = (path: string, text: string) => () =>
      Deno.writeTextFile(join(folder, path), text);
    await changed(
      "one notebook",
      write("notebooks/02-b.ipynb", makeNotebook(['console.log("four")'])),
      [true, false],
    );
    await changed(
      "a file beside them",
      write("notebooks/own.csv", "a\n1\n"),
      [false, false],
    );
    await Deno.mkdir(join(folder, "notebooks/own"));
    await changed(
      "a file in a folder beside them",
      write("notebooks/own/more.ts", "export {}"),
      [false, false],
    );
    const plan = JSON.parse(await Deno.readTextFile(study));
    await changed(
      "the study file",
      write("study.json", JSON.stringify({ ...plan, seed: plan.seed + 1 })),
      [false, false],
    );
    await changed("a table", write(plan.files.cohort, "id,age\n1,61\n"), [false, false]);
  });
});

Deno.test("a result that was cut short, changed or is no result is as if it were not there, and a failure is not kept", async () => {
  await withWorkspace({ "01-a": cells }, async ({ folder, study, notebooks, out }) => {
    const run = async () => {
      const { model } = await buildReport({ study, notebooks, out, typeCheck: false });
      return model.runs[0];
    };
    await run();
    const path = join(folder, ".out.kept", "01-a.json");
    const good = await Deno.readTextFile(path);
    await fc.assert(
      fc.asyncProperty(fc.nat(good.length - 1), fc.constantFrom("", "x"), async (at, put) => {
        if (good[at] === put) return;
        await Deno.writeTextFile(path, good.slice(0, at) + put + good.slice(at + 1));
        const again = await run();
        assert.ok(!again?.kept);
        assert.equal(again?.failure, undefined);
      }),
      { numRuns: 3 },
    );
    await Deno.writeTextFile(
      join(notebooks, "01-a.ipynb"),
      makeNotebook(['throw new Error("no")']),
    );
    assert.match(`${(await run())?.failure?.message}`, /no/);
    assert.ok(!(await run())?.kept);
  });
});
