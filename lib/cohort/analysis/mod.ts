/**
 * The patients analysed: eligibility, to whom a column applies, cut-offs, the data frame, whether
 * there is anybody to compare.
 *
 * @module
 */
export { appliesTo, conditionHolds } from "./applies.ts";
export { hasBothGroups, needsBothGroups, NothingLeft } from "./both-groups.ts";
export { patientsAmong } from "./among.ts";
export { completedAnalyses, recordedOnly } from "./completed-analyses.ts";
export { drawnFrom, drawnNotes, enoughOfCohort } from "./enough.ts";
export { selectEligible } from "./eligible.ts";
export {
  commonestIn,
  type Frame,
  type FrameGroups,
  frameOf,
  type FrameSeries,
  measuredBy,
  type MeasuredRow,
  summaryOf,
  type SummaryRow,
} from "./frame.ts";
export { type NotebookColumn, patientsWhere, withColumns, withCovariate } from "./with-columns.ts";
export { type RuleContext, ruleHolds } from "./rule-holds.ts";
export { withoutOutcomes } from "./without-outcomes.ts";
export { sideCounts, thresholdHolds } from "./threshold.ts";
