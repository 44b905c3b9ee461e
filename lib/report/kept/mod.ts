/** Results of notebooks that ran before and would come out the same again. @module */
export { type Ingredients, keptRuns } from "./kept-runs.ts";
