/**
 * The one shape of each thing a notebook can show: figure, table, finding, note. Types, checks and
 * what is written to `findings.json` come from these schemas.
 */
export type { PlanStatus } from "./fields.ts";
export { type FigureItem, figureSchema } from "./figure.ts";
export {
  type FindingData,
  type FindingGroup,
  type FindingInput,
  findingInputSchema,
  type FindingItem,
  findingSchema,
} from "./finding.ts";
export { checkInput, type ReportItem, type ShownItem, shownItemSchema } from "./item.ts";
export { type NoteInput, noteInputSchema, type NoteItem, noteSchema } from "./note.ts";
export {
  type GroupLabels,
  type TableBody,
  type TableColumn,
  type TableHeading,
  type TableInput,
  tableInputSchema,
  type TableItem,
  type TableRow,
  tableSchema,
} from "./table.ts";
