import { WaitingWorker } from "../../numerics/mod.ts";
import type { Draft, DraftWriter } from "../manuscript/mod.ts";
import type { DocumentTables, WordParts } from "../word/mod.ts";
import type { WrittenDocument, WrittenTables } from "../word-file/mod.ts";

/** Makes the Word documents of a report. */
export interface WordWriter extends DraftWriter {
  /** @param tables Of an earlier document. */
  tables(shown: DocumentTables, tables: WrittenTables): Promise<WrittenDocument>;
}

/** What is asked of a worker. */
export type WordTask =
  | { shown: DocumentTables; tables: WrittenTables }
  | { draft: Draft; ready: WordParts };

/** Makes them here. What writes documents is loaded where there is something to make. */
export const wordHere: WordWriter = {
  async tables(shown, tables) {
    const { tablesDocx } = await import("../word/mod.ts");
    return await tablesDocx(shown, tables);
  },
  async manuscript(draft, ready) {
    const { manuscriptDocx } = await import("../word/mod.ts");
    return await manuscriptDocx(draft, ready);
  },
};

/** Makes them in a worker, one after the other, beside what goes on here. */
export class WordInWorker implements WordWriter {
  #worker: WaitingWorker<null, WordTask, WrittenDocument> | undefined;

  tables(shown: DocumentTables, tables: WrittenTables): Promise<WrittenDocument> {
    return this.begin().ask({ shown, tables });
  }

  manuscript(draft: Draft, ready: WordParts): Promise<WrittenDocument> {
    return this.begin().ask({ draft, ready });
  }

  /** Has it make itself ready before there is something to make. */
  begin(): WaitingWorker<null, WordTask, WrittenDocument> {
    return this.#worker ??= new WaitingWorker({
      worker: new URL("./word-worker.ts", import.meta.url),
      what: "write the tables and the manuscript for Word",
      setup: null,
    });
  }

  end(): void {
    this.#worker?.end();
  }
}
