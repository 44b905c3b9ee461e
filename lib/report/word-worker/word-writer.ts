import { WaitingWorker } from "../../numerics/mod.ts";
import type { Draft, DraftWriter } from "../manuscript/mod.ts";
import type { DocumentTables } from "../word/mod.ts";

type Bytes = Uint8Array<ArrayBuffer>;

/** Makes the Word documents of a report. */
export interface WordWriter extends DraftWriter {
  tables(tables: DocumentTables): Promise<Bytes>;
}

/** What is asked of a worker. */
export type WordTask =
  | { tables: DocumentTables }
  | { draft: Draft; pictures: ReadonlyMap<string, Bytes> };

/** Makes them here. What writes documents is loaded where there is something to make. */
export const wordHere: WordWriter = {
  async tables(tables) {
    const { tablesDocx } = await import("../word/mod.ts");
    return await tablesDocx(tables);
  },
  async manuscript(draft, pictures) {
    const { manuscriptDocx } = await import("../word/mod.ts");
    return await manuscriptDocx(draft, pictures);
  },
};

/** Makes them in a worker, one after the other, beside what goes on here. */
export class WordInWorker implements WordWriter {
  #worker: WaitingWorker<null, WordTask, Bytes> | undefined;

  tables(tables: DocumentTables): Promise<Bytes> {
    return this.begin().ask({ tables });
  }

  manuscript(draft: Draft, pictures: ReadonlyMap<string, Bytes>): Promise<Bytes> {
    return this.begin().ask({ draft, pictures });
  }

  /** Has it make itself ready before there is something to make. */
  begin(): WaitingWorker<null, WordTask, Bytes> {
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
