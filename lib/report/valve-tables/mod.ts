/** Tables of what happens to the valve and the ventricle. @module */
export { betweenVisitsSentence, betweenVisitsTable } from "./between-visits.ts";
export { type EventRisk, eventRiskTable } from "./event-risk-table.ts";
export {
  datedTable,
  deathRateNotes,
  type SoughtLine,
  soughtTable,
  type TwoHazardLines,
  twoHazardsTable,
  type TwoQuantities,
  twoQuantitiesTable,
} from "./recurrence-tables.ts";
export { monthsFreeSentence, stateMonthsTable, type StateTimes } from "./state-months.ts";
export {
  correctedTable,
  marksSentence,
  notMeasuredInWords,
  publishableChanges,
  riskOverTable,
  scannedInWords,
  type VentricleChange,
  ventricleChangeTable,
  ventricleSentence,
} from "./ventricle-tables.ts";
