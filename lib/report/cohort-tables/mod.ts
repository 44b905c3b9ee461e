/** Tables of who was studied, followed and measured. @module */
export {
  completenessTable,
  type MarkedShare,
  missingTable,
  type PlannedHeading,
  procedureTable,
  publishableMarks,
  scheduleTable,
  warningMarkTable,
} from "./cohort-tables.ts";
export { endsKeys, type FollowUpEnds } from "./follow-up-ends.ts";
export { flowTable, type PublishableFlow, publishableFlow } from "./flow-table.ts";
export { measuredTable } from "./measured-table.ts";
