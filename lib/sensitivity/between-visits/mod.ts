/** Recurrence between visits in two groups, its limits from the procedure repeated. @module */
export {
  type BetweenVisits,
  type BetweenVisitsContrast,
  recurrenceBetweenVisits,
} from "./recurrence-between-visits.ts";
export { type VisitsProcedure, visitsStatistic } from "./visits-procedure.ts";
export { betweenVisitsJob, type VisitsOptions } from "./visits-task.ts";
