/** Results of earlier runs that would come out the same again. @module */
export { fromInputs, type KeptFiles, keptFiles, noFilesKept } from "./kept-files.ts";
export { type Ingredients, keptRuns } from "./kept-runs.ts";
export { withKeptInputs } from "./kept-inputs.ts";
