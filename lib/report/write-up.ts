import { methodsUsed } from "./methods/mod.ts";
import { allFailures, collectItems, type ReportModel } from "./model/mod.ts";
import { type NotebookRun, withoutUndrawable } from "./notebooks/mod.ts";
import type { ReportContents } from "./output/mod.ts";
import { rememberParts } from "./run-parts/mod.ts";
import { type FilesOptions, reportFiles } from "./report-files.ts";
import {
  KeptJudgements,
  readDocuments,
  type SealProof,
  sealRuns,
  withDocuments,
  withoutFromDocuments,
} from "./seal/mod.ts";

/** All that a report says beside what its notebooks showed. */
export type SaidBeside = Omit<ReportModel, "runs" | "items" | "methods">;

/** What a report's runs come to. */
export interface WrittenUp {
  /** Of the runs as they are told: without what counts too few, or cannot be drawn. */
  model: ReportModel;
  contents: ReportContents;
  /** What was withheld, and that nothing else need be. */
  proof: SealProof;
  /** Sentences that no document may have. */
  withheld: string[];
}

/**
 * Withholds what would let a reader work out a count of too few, and writes every file of a report
 * that follows from what its notebooks showed. Nothing is stored but, for the next time, Word files
 * and what a reader can work out.
 *
 * @param files Where these are looked for first, and who makes Word files.
 */
export async function writeUp(
  heard: readonly NotebookRun[],
  said: SaidBeside,
  files: Pick<FilesOptions, "kept" | "word">,
): Promise<WrittenUp> {
  const { study } = said;
  rememberParts(heard);
  const judgements = await KeptJudgements.of(files.kept);
  const sealed = sealRuns(heard, study, judgements);
  await judgements.keep(files.kept);
  const { runs, read: runsRead } = sealed;
  let { proof } = sealed;
  const modelOf = (runs: NotebookRun[]): ReportModel => {
    const items = collectItems(runs, study);
    items.warnings.push(
      ...proof.pinned.map((count) => `from all that is published it can be worked out: ${count}`),
    );
    return {
      ...said,
      runs,
      items,
      methods: methodsUsed(runs, study),
      failures: [...said.failures, ...allFailures(runs, items)],
    };
  };
  let model = modelOf(runs);
  let contents: ReportContents;
  const filesOf = (model: ReportModel) => reportFiles(model, { ...files, workers: 1 });
  try {
    contents = await filesOf(model);
  } catch (error) {
    // one notebook's picture must not take all others with it
    const drawable = await withoutUndrawable(runs, (some) => reportFiles(modelOf(some)));
    if (drawable.every((run, index) => run === runs[index])) throw error;
    model = modelOf(drawable);
    contents = await filesOf(model);
  }
  // sentences that the documents alone have
  const documents = readDocuments(contents, runsRead);
  proof = withDocuments(proof, documents);
  if (documents.pinned.length > 0) {
    model = modelOf(model.runs);
    contents = await filesOf(model);
  }
  const withheld = documents.withheld.map(({ text }) => text);
  if (withheld.length > 0) contents = withoutFromDocuments(contents, documents.withheld);
  return { model, contents, proof, withheld };
}
