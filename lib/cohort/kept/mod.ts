/** A cohort handed from the process that read it to others of a run. @module */
export { cohortBytes, cohortFrom } from "./cohort-bytes.ts";
export { keptCohort } from "./kept-cohort.ts";
export {
  keepAnswers,
  keepAnswersAmong,
  keptAnswer,
  keptResult,
  newAnswers,
} from "./kept-answers.ts";
