/** What one run showed, gathered for the page and the files. @module */
export {
  type FigureItem,
  type FindingItem,
  findingSchema,
  type NoteItem,
  type PlanStatus,
  type TableItem,
  tableSchema,
} from "../items/mod.ts";
export { allFailures, collectItems, type Placed, tableOf } from "./items.ts";
export { plannedButNotDone, plannedResults, statusOfFigure } from "./plan-status.ts";
export type { ReportModel } from "./report-model.ts";
export { shownHeading, waivers } from "./waivers.ts";
