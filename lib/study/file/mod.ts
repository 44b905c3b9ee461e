/** Opening a study file, and reading, writing and telling of files. @module */
export { countedProgress } from "./counted-progress.ts";
export { type FileToWrite, textFile, writeOwnBlocks, writeTogether } from "./files-together.ts";
export { errorOutput, type ProgressTarget } from "./progress-target.ts";
export { type ToldLines, toldLines } from "./told-lines.ts";
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
