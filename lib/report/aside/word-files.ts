import { tablesDocx } from "../files/mod.ts";
import { type KeptFiles, noFilesKept } from "../kept/mod.ts";
import { manuscriptFiles } from "../manuscript/mod.ts";
import type { ReportModel } from "../model/mod.ts";

/** Contents by path within the report's folder. */
export type WordFiles = Map<string, string | Uint8Array<ArrayBuffer>>;

/** Makes the Word files of a report. */
export interface WordMaker {
  /** Every table in one file; none where a run showed none. */
  tables(model: ReportModel): Promise<WordFiles>;
  /** The draft of an article, and the drawings that go with it; none where a run showed nothing. */
  manuscript(model: ReportModel): Promise<WordFiles>;
}

/**
 * Makes them here.
 *
 * @param kept Where files are looked for first; default nowhere.
 */
export function wordFiles(kept: KeptFiles = noFilesKept): WordMaker {
  return {
    async tables(model) {
      const { study: { centre, title }, items: { tables, figures } } = model;
      if (tables.length === 0) return new Map();
      const path = "tables/tables.docx";
      const shown = { centre, title, tables, figures };
      return new Map([[path, await kept.get(path, shown, () => tablesDocx(model))]]);
    },
    manuscript: (model) => manuscriptFiles(model, kept),
  };
}
