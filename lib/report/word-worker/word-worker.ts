/**
 * What runs in the worker of `WordInWorker`.
 *
 * @module
 */
import { answerTasks } from "../../numerics/mod.ts";
import type { WrittenDocument } from "../word-file/mod.ts";
import { manuscriptDocx, tablesDocx } from "../word/mod.ts";
import type { WordTask } from "./word-writer.ts";

answerTasks<null, WordTask, WrittenDocument>(() => (task) =>
  "shown" in task ? tablesDocx(task.shown, task.tables) : manuscriptDocx(task.draft, task.ready)
);
