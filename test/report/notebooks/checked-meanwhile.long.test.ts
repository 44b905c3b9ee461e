import { deepEqual, match } from "node:assert/strict";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { readableOfProject } from "../../../lib/report/sandbox/mod.ts";
import { parseNotebook, runNotebooks } from "../../../lib/report/notebooks/mod.ts";
import { makeNotebook } from "./make-notebook.ts";
import { processesIn } from "./processes-in.ts";

// The compiler reads the whole library for it.
Deno.test("runNotebooks() runs while the compiler checks, and ends, tells and keeps nothing of what it refuses", async () => {
  const folder = await Deno.makeTempDir({ prefix: "mitral-test-" });
  try {
    const outside = pathToFileURL(join(folder, "outside.ts")).href;
    const sources: Record<string, string[]> = {
      "fine": ['"it ends"'],
      // neither would end by itself
      "mistyped": ['"seen"', "const wrong: string = 1;\nwrong", "while (true);"],
      "outside": [`import { x } from ${JSON.stringify(outside)};\nx`, "while (true);"],
    };
    const [own, kept, reached] = [join(folder, "own"), [] as string[], new Set<string>()];
    const notebooks = Object.entries(sources).map(([id, cells]) =>
      parseNotebook(makeNotebook(cells), { id, folder: `${pathToFileURL(own).href}/` })
    );
    const runs = await runNotebooks(notebooks, {
      files: { study: join(folder, "study.json") },
      processes: processesIn(folder, readableOfProject),
      folders: [own],
      workFolder: folder,
      atOnce: 2,
      timeLimit: 120,
      kept: {
        isKnown: () => Promise.resolve(false),
        answers: () => Promise.resolve(undefined),
        find: () => Promise.resolve({}),
        keep: ({ notebook, failure }) => {
          if (!failure) kept.push(notebook.id);
          return Promise.resolve();
        },
      },
      progress: { step: () => {}, cell: (id) => reached.add(id), done: () => {} },
    });
    deepEqual(kept, ["fine"]);
    deepEqual([...reached].sort(), ["fine", "mistyped"], "what leads out is not run at all");
    deepEqual(runs.map(({ failure }) => failure?.stage), [undefined, "types", "types"]);
    match(`${runs[1]?.failure?.message}`, /^TypeScript 2322: Type 'number' is not assignable/);
    match(
      `${runs[2]?.failure?.message}`,
      /^imports outside\.ts, which lies neither in the project/,
    );
    const shown = runs.map(({ outputs }) => outputs.map((cell) => cell.map(({ type }) => type)));
    deepEqual(shown, [[["result"]], [[], ["error"], []], [["error"], []]]);
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
});
