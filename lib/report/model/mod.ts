/** What one run showed, gathered for the page and the files. @module */
export {
  allFailures,
  collectItems,
  type FigureItem,
  type FindingItem,
  findingSchema,
  type NoteItem,
  type Placed,
  type TableItem,
  tableOf,
  tableSchema,
} from "./items.ts";
export {
  plannedButNotDone,
  plannedResults,
  type PlanStatus,
  statusOfFigure,
} from "./plan-status.ts";
export type { ReportModel } from "./report-model.ts";
export { shownHeading, waivers } from "./waivers.ts";
