/**
 * What runs in the worker of `WordInWorker`.
 *
 * @module
 */
import { answerTasks } from "../../numerics/mod.ts";
import { manuscriptDocx, tablesDocx } from "../word/mod.ts";
import type { WordTask } from "./word-writer.ts";

answerTasks<null, WordTask, Uint8Array<ArrayBuffer>>(() => (task) =>
  "tables" in task ? tablesDocx(task.tables) : manuscriptDocx(task.draft, task.pictures)
);
