/**
 * What runs in a worker of `tablesDocxIn`.
 *
 * @module
 */
import { answerTasks } from "../../numerics/mod.ts";
import { type DocumentTables, tablesDocx } from "../word/mod.ts";

answerTasks<DocumentTables, null, Uint8Array<ArrayBuffer>>(async (tables) => {
  const document = await tablesDocx(tables);
  return () => document;
});
