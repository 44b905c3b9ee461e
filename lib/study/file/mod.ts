/** Opening a study file, and the options of commands that read one. @module */
export { commandLine, studyOptions } from "./command-line.ts";
export { countedProgress, errorOutput, type ProgressTarget } from "./counted-progress.ts";
export { taskLine } from "./task-line.ts";
export { readFileBytes, readFileText, whyNoFile, writeOwnFile } from "./ordinary-file.ts";
export {
  type FileRecord,
  isPlanned,
  openStudy,
  plannedName,
  provenance,
  type RunPaths,
  runPaths,
  type Study,
  studyOf,
} from "./open.ts";
