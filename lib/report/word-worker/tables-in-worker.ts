import { inWorkers } from "../../numerics/mod.ts";
import type { DocumentTables } from "../word/mod.ts";

/**
 * The document of a report's tables.
 *
 * @param workers With 1 it is made in a worker, beside what goes on here; with 0 here.
 */
export async function tablesDocxIn(
  tables: DocumentTables,
  workers: 0 | 1,
): Promise<Uint8Array<ArrayBuffer>> {
  if (workers === 0) {
    // loaded where there is something to make: it brings a writer of documents
    const { tablesDocx } = await import("../word/mod.ts");
    return await tablesDocx(tables);
  }
  let made: Uint8Array<ArrayBuffer> | undefined;
  await inWorkers<DocumentTables, null, Uint8Array<ArrayBuffer>>({
    worker: new URL("./tables-worker.ts", import.meta.url),
    what: "write the tables for Word",
    // who asks for it is busy, and would let the worker wait for its task
    setup: tables,
    tasks: [null],
    workers,
  }, (_, document) => made = document);
  return made!;
}
