import assert from "node:assert/strict";
import { join } from "node:path";
import { buildReport } from "../../../lib/report/build-report.ts";
import type { CellSource } from "../notebooks/make-notebook.ts";
import { filesBelow, withWorkspace } from "../workspace.ts";
import { attacks as first } from "./attacks.ts";
import { moreAttacks } from "./more-attacks.ts";

const attacks = { ...first, ...moreAttacks };

Deno.test("no notebook forges, outlives, floods or reads what is not its own; the others' report stands", async () => {
  const notebooks: Record<string, readonly CellSource[]> = {};
  for (const [id, { cell }] of Object.entries(attacks)) notebooks[id] = ["1", cell, '"third"'];
  await withWorkspace(notebooks, async ({ folder, study, notebooks, out }) => {
    await Deno.symlink("/etc/passwd", join(notebooks, "linked.ts"));
    await Deno.writeTextFile(join(notebooks, "broken.ts"), "export const = ;\n");
    await Deno.writeTextFile(join(notebooks, "own.ts"), "export const a = 1;\n");
    // one that hung on a timer would fail by the limit, which none of these names
    const { model } = await buildReport({ study, notebooks, out, timeLimit: 600 });
    const { failures } = model;
    const wrong: unknown[] = [];
    for (const [id, { says, shows, names = 2 }] of Object.entries(attacks)) {
      const own = failures.filter(({ notebook }) => notebook === id);
      const run = model.runs.find(({ notebook }) => notebook.id === id);
      const texts = run?.outputs.map((cell) =>
        // what goes to the error stream stands where it comes, cut short
        cell.filter(({ type }) => type !== "stream")
          .map((output) => "bundle" in output ? output.bundle["text/plain"] : output.type)
      );
      const printed = run?.outputs.flat().map((output) =>
        output.type === "stream" ? output.text : ""
      );
      if ((printed?.join("").length ?? 0) > 3e6) wrong.push([id, "prints without end"]);
      if (says) {
        const [failure] = own;
        if (own.length !== 1 || !failure || !says.test(failure.message)) wrong.push([id, own]);
        // a file that cannot be read at all is found before any cell is
        else if (failure.cell !== names && id !== "imports-a-broken-file") wrong.push([id, own]);
      } else {
        const expected = [["1"], shows === undefined ? [] : [shows], ['"third"']];
        if (own.length > 0 || JSON.stringify(texts) !== JSON.stringify(expected)) {
          wrong.push([id, own, texts]);
        }
      }
    }
    assert.deepEqual(wrong, []);
    const guests = new Set(failures.map(({ notebook }) => notebook));
    assert.equal(guests.size, Object.values(attacks).filter(({ says }) => says).length);
    for (const [path, text] of await filesBelow(out)) {
      assert.ok(!text.includes("root:x:0"), `${path} quotes a file that no notebook may read`);
    }
    // nothing is left beside the report but the results that may be used again
    const left = [...Deno.readDirSync(folder)].map(({ name }) => name).sort();
    assert.deepEqual(left, [
      ".out.kept",
      "echo-visits.csv",
      "notebooks",
      "out",
      "patients.csv",
      "study.json",
    ]);
  });
});
