/** Notebooks as modules, run in a process that has no network. @module */
export type { EarlierCells } from "./changed-cells.ts";
export { executedNotebook } from "./executed.ts";
export { followImports } from "./imported-files.ts";
export { notebookModule } from "./module.ts";
export {
  codeOf,
  describeFailure,
  describeFailures,
  type Notebook,
  type NotebookFailure,
  parseNotebook,
} from "./notebook.ts";
export { basename, dirname, join, resolve, toFileUrl } from "./paths.ts";
export { type Progress, progressLines } from "./progress.ts";
export type {
  CellOutput,
  NotebookProse,
  NotebookRun,
  RunParts,
  RunSeconds,
} from "./run-notebook.ts";
export { type KeptRuns, runNotebooks } from "./run-notebooks.ts";
export { timingLines } from "./timings.ts";
export { type LibraryTypes, type ModuleFile, typeCheck } from "./type-check.ts";
export { withoutUndrawable } from "./undrawable.ts";
