/** What a notebook asks for in one call: estimates of several stages, ready to be shown. @module */
export { eventRisks } from "./event-risks.ts";
export { type MeasuredVentricles, measuredVentricles } from "./impaired-ventricle.ts";
export { type ModelledSurvival, modelledSurvival } from "./survival-methods.ts";
export { pairRatios, yearsOfPairs } from "./pair-results.ts";
export { type ValveStates, valveStates } from "./valve-states.ts";
export { marksDecision, type MeanChange, meanChange } from "./ventricle-curves.ts";
export {
  type CorrectedMeasure,
  diameterSentence,
  plannedMarks,
  ventricleCalibration,
  ventricleModelMeasures,
  type VentricleRisk,
  ventricleRisk,
} from "./ventricle-risk.ts";
export { leakCurves, leakFigure, leakTable, visitRatios } from "./leaks-at-visits.ts";
export {
  measurementFigure,
  measurementTable,
  type OverMeasurement,
  overMeasurements,
} from "./measurements.ts";
export {
  contrastRow,
  subgroupSections,
  type ThresholdSubgroup,
  thresholdSubgroups,
} from "./threshold-subgroups.ts";
export { toldApartTable } from "./told-apart.ts";
export { twoQuantities } from "./two-quantities.ts";
export {
  type MethodRow,
  methodRows,
  methodSections,
  methodsSentence,
  orderRows,
} from "./method-rows.ts";
