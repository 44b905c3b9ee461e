import { deepEqual } from "node:assert/strict";
import { join } from "node:path";
import { parseNotebook, runNotebooks } from "../../../lib/report/notebooks/mod.ts";
import { makeNotebook } from "./make-notebook.ts";
import { processesIn } from "./processes-in.ts";

Deno.test("runNotebooks() begins with what nobody knows of and what took longest, and answers in order", async () => {
  const folder = await Deno.makeTempDir({ prefix: "mitral-test-" });
  try {
    // what is no code is not run: the order is seen without a process each
    const notebookOf = (id: string) => parseNotebook(makeNotebook(["const = 1;"]), { id, folder });
    const seconds: Record<string, number> = { "01-short": 1, "03-long": 9, "05-middle": 4 };
    const ids = ["01-short", "02-new", "03-long", "04-new", "05-middle"];
    const done: string[] = [];
    const runs = await runNotebooks(ids.map(notebookOf), {
      files: { study: join(folder, "study.json") },
      processes: processesIn(folder),
      folders: [],
      workFolder: folder,
      atOnce: 1,
      typeCheck: false,
      kept: {
        isKnown: () => Promise.resolve(false),
        answers: () => Promise.resolve(undefined),
        find: ({ id }) => Promise.resolve({ lasted: seconds[id] }),
        keep: () => Promise.resolve(),
      },
      progress: { step: () => {}, cell: () => {}, done: (id) => done.push(id) },
    });
    deepEqual(done, ["04-new", "02-new", "03-long", "05-middle", "01-short"]);
    deepEqual(runs.map(({ notebook }) => notebook.id), ids);
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
});
