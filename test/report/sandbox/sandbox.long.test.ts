import assert from "node:assert/strict";
import { join } from "node:path";
import { buildReport } from "../../../lib/report/build-report.ts";
import { describeFailure } from "../../../lib/report/notebooks/notebook.ts";
import { projectFolder } from "../../../lib/report/sandbox/mod.ts";
import type { CellSource } from "../notebooks/make-notebook.ts";
import { quickReport, withWorkspace } from "../workspace.ts";

/** What a second cell tries, and what its message must say. */
const forbidden: Record<string, { cell: string; says: RegExp; line: number }> = {
  fetch: { cell: 'await fetch("http://127.0.0.1:8000/");', says: /net access/, line: 1 },
  connect: {
    cell: 'await Deno.connect({ hostname: "127.0.0.1", port: 8000 });',
    says: /net access/,
    line: 1,
  },
  environment: { cell: '\nDeno.env.get("HOME");', says: /env access to "HOME"/, line: 2 },
  "read-outside": {
    cell: 'import fs from "node:fs";\n\nfs.readFileSync("/etc/passwd");',
    says: /read access to "\/etc\/passwd"/,
    line: 3,
  },
  "write-outside": {
    cell: `Deno.writeTextFileSync(${JSON.stringify(join(projectFolder, "README.md"))}, "x");`,
    says: /write access/,
    line: 1,
  },
  spawn: { cell: 'await new Deno.Command("ls").output();', says: /run access/, line: 1 },
  "spawn-node": {
    cell: 'import { execFileSync } from "node:child_process";\nexecFileSync("/bin/ls");',
    says: /run access|env access/,
    line: 2,
  },
  foreign: { cell: 'Deno.dlopen("/lib/libc.so.6", {});', says: /ffi access/, line: 1 },
  system: { cell: "Deno.hostname();", says: /sys access/, line: 1 },
  "web-import": {
    cell: 'const address = "https://example.com/x.ts";\nawait import(address);',
    says: /import access/,
    line: 2,
  },
  "new-package": {
    cell: 'const name = "npm:left-pad@1.3.0";\nawait import(name);',
    says: /not found in cache/,
    line: 2,
  },
  "keep-in-cache": { cell: 'localStorage.setItem("a", "b");', says: /localStorage/, line: 1 },
  // the ways a cell can be wrong without trying to get out
  throws: {
    cell: 'function inner() {\n  throw new RangeError("boom");\n}\n\ninner();',
    says: /RangeError: boom/,
    line: 2,
  },
  "wrong-type": {
    cell: "const fine = 1;\nconst wrong: string = fine;",
    says: /TypeScript 2322.*not assignable to type 'string'/,
    line: 2,
  },
  "missing-name": {
    cell: '\n\nimport { noSuchThing } from "mitral";\nnoSuchThing;',
    says: /no exported member 'noSuchThing'/,
    line: 3,
  },
  "missing-file": { cell: 'import "./gone.ts";', says: /gone\.ts/, line: 1 },
  syntax: { cell: "let a = 1;\nlet b = = 2;", says: /SyntaxError/, line: 2 },
  "late-rejection": {
    cell: 'Promise.reject(new Error("late"));\nawait new Promise((r) => setTimeout(r, 50));',
    says: /Error: late/,
    line: 1,
  },
};

Deno.test("buildReport() stops what a notebook may not do, names the cell, and reports the rest", async () => {
  const first = "const start = 1;\nstart";
  const notebooks: Record<string, CellSource[]> = {
    "00-fine": [
      { markdown: "# Fine" },
      'import { table } from "mitral";\ntable({ id: "fine", title: "Fine", caption: "", ' +
      'columns: [{ key: "a", label: "A" }], rows: [{ a: 1 }] })',
    ],
    leaves: [{ markdown: "# Leaves" }, first, "Deno.exit(0);"],
  };
  for (const [id, { cell }] of Object.entries(forbidden)) notebooks[id] = [first, cell, "3"];
  await withWorkspace(notebooks, async ({ study, notebooks, out }) => {
    const { model } = await buildReport({ study, notebooks, out });
    const html = await Deno.readTextFile(join(out, "supplement.html"));
    for (const [id, { says, line }] of Object.entries(forbidden)) {
      const failure = model.failures.find(({ notebook }) => notebook === id);
      assert.ok(failure, `${id} did not fail`);
      assert.equal(failure.cell, 2, id);
      assert.equal(failure.line, line, id);
      assert.match(failure.message, says);
      assert.ok(describeFailure(failure).startsWith(`${id}, cell 2, line ${line}: `));
      assert.ok(html.includes(`${id}, cell 2, line ${line}: `), `${id} is not named in the report`);
    }
    const left = model.failures.find(({ notebook }) => notebook === "leaves");
    assert.match(left?.message ?? "", /stopped before its end/);
    assert.equal(model.failures.length, Object.keys(forbidden).length + 1);
    assert.match(html, /This report is incomplete/);
    assert.match(html, /id="table-fine"/);
    assert.ok((await Deno.stat(join(out, "tables", "fine.csv"))).isFile);
    const manifest = JSON.parse(await Deno.readTextFile(join(out, "manifest.json")));
    assert.equal(manifest.complete, false);
    const ran = JSON.parse(await Deno.readTextFile(join(out, "notebooks", "throws.ipynb")));
    assert.equal(ran.cells[1].outputs[0].output_type, "error");
    assert.equal(ran.cells[2].execution_count, null);
  });
});

Deno.test("the report command exits 1 with the cell's name, and 2 where there is no report", async () => {
  const run = async (...args: string[]) => {
    const command = new Deno.Command(Deno.execPath(), {
      args: ["run", "-A", join(projectFolder, "lib/report/cli.ts"), ...args],
      env: { NO_COLOR: "1" },
    });
    const { code, stderr, stdout } = await command.output();
    const text = (bytes: Uint8Array) => new TextDecoder().decode(bytes);
    return { code, stderr: text(stderr), stdout: text(stdout) };
  };
  const cells = ["1", 'throw new Error("boom")'];
  await withWorkspace({ "01-bad": cells }, async ({ folder, study, notebooks, out }) => {
    const failed = await run("--study", study, "--notebooks", notebooks, "--out", out);
    assert.equal(failed.code, 1);
    assert.match(failed.stderr, /01-bad, cell 2, line 1: Error: boom/);
    assert.match(failed.stderr, /\d\.\d s {2}01-bad/);
    assert.match(failed.stdout, /report\.html/);
    // the cohort cannot be read: the last line is the command that lists all that is wrong
    assert.ok(failed.stderr.endsWith(`listed by\n  deno task validate --study ${study}\n`));

    const typo = await run("--studdy", study);
    assert.equal(typo.code, 2);
    assert.match(typo.stderr, /--studdy[\s\S]*--study FILE/);

    const nowhere = await run("--study", join(folder, "gone.json"));
    assert.equal(nowhere.code, 2);
    assert.match(nowhere.stderr, /gone\.json/);
    const odd = join(folder, "it's gone.json");
    const quoted = await run("--study", odd, "--visits", "v.csv");
    assert.ok(
      quoted.stderr.endsWith(
        `  deno task validate --study '${odd.replace("'", "'\\''")}' --visits v.csv\n`,
      ),
      quoted.stderr,
    );

    // a folder that no report left behind is not written to
    const taken = await run("--study", study, "--notebooks", notebooks, "--out", folder);
    assert.equal(taken.code, 2);
    assert.match(taken.stderr, /holds other files/);
    assert.doesNotMatch(taken.stderr, /task validate/);
  });
});

Deno.test("buildReport() ends a notebook that does not end, and names the cell", async () => {
  await withWorkspace(
    { "01-stuck": ["const one = 1;\none", "for (;;);", '"never"'], "02-fine": ['"fine"'] },
    async ({ study, notebooks, out }) => {
      const { model } = await quickReport({ study, notebooks, out, timeLimit: 8 });
      assert.deepEqual(model.failures.map(describeFailure), [
        "01-stuck, cell 2: did not end within the time limit of 8 s",
      ]);
      const [stuck, fine] = model.runs;
      assert.deepEqual(stuck?.outputs.map(({ length }) => length > 0), [true, false, false]);
      assert.equal(fine?.failure, undefined);
    },
  );
});
