import { deepEqual } from "node:assert/strict";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { followImports } from "../../../lib/report/notebooks/imported-files.ts";
import { parseNotebook } from "../../../lib/report/notebooks/mod.ts";
import { notebookModule } from "../../../lib/report/notebooks/module.ts";
import { makeNotebook } from "./make-notebook.ts";

// Imports are listed by a process of their own, but for modules in which no word could begin one.
Deno.test("followImports() finds every way that leads out, and none in prose that speaks of imports", async () => {
  const folder = await Deno.makeTempDir({ prefix: "mitral-test-" });
  try {
    const path = join(folder, "outside.ts");
    const outside = JSON.stringify(pathToFileURL(path).href);
    await Deno.writeTextFile(path, "export const x = 1;\nexport type X = number;\n");
    const mitral = 'import * as mitral from "mitral";';
    const leadsOut: Record<string, string> = {
      "named": `${mitral}\nimport { x } from ${outside};`,
      "for its effect": `${mitral}\nimport ${outside};`,
      "on one line": `${mitral} import { x } from ${outside};`,
      "again": `export * from ${outside};`,
      "as a type": `${mitral}\nlet y: import(${outside}).X;`,
      "when it runs": `await import(${outside});`,
      "by what it declares of it": `${mitral}\ndeclare module ${outside} { interface Y { a: 1 } }`,
      "after a comment": `await import(/* ; */ ${outside});`,
    };
    const staysIn: Record<string, string> = {
      "the library": `${mitral}\nmitral.say("Fine.");`,
      "under another name": 'import * as m from "mitral";\nm.say("Fine.");',
      "some of it": 'import { say } from "mitral";\nsay("Fine.");',
      "nothing": "1 + 1",
      "words": `${mitral}\nmitral.say("Important: no import from ${path}.");`,
    };
    const sources = Object.entries({ ...leadsOut, ...staysIn });
    const files = await Promise.all(sources.map(async ([id, source], index) => {
      const notebook = parseNotebook(makeNotebook([source]), {
        id,
        folder: `${pathToFileURL(folder).href}/own/`,
      });
      const made = notebookModule(notebook);
      if ("failure" in made) throw new Error(`${id}: ${made.failure.message}`);
      const file = { module: made.module, path: join(folder, `${index}.ts`) };
      await Deno.writeTextFile(file.path, made.module.source);
      return file;
    }));
    const { failures } = await followImports(files, { folder, own: [join(folder, "own"), folder] });
    deepEqual(failures, [], "what lies beside the notebooks may be imported");
    const apart = await followImports(files, { folder, own: [join(folder, "own")] });
    // the modules themselves lie there too, as they do in a run
    deepEqual(apart.failures.map(({ notebook }) => notebook), Object.keys(leadsOut));
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
});
