import { z } from "zod";
import { id, status } from "./fields.ts";

/** One column of a table. */
export const columnSchema = z.object({
  /** The field of each row this column shows. */
  key: z.string(),
  /** Its heading. */
  label: z.string().min(1, "a heading"),
  /** Its unit, printed in the heading. A percent column is headed % without being told. */
  unit: z.string().optional(),
  /** Default: right for numbers, left for text. */
  align: z.enum(["left", "right"]).optional(),
  /** Decimals. Default: whole numbers as they are, one for percent, else four figures. */
  digits: z.number().int().min(0).max(12).optional(),
  /**
   * What the values are. A percent column holds proportions, which are kept to a tenth of one in
   * 100; default from the first value.
   */
  kind: z.enum(["text", "number", "percent", "pvalue"]).optional(),
  /** Kept in files for programs and not printed: a name by which something else is found. */
  onlyInFiles: z.boolean().optional(),
});

/** One row: a value for each column; null prints as a dash. */
export const rowSchema = z.record(z.string(), z.union([z.string(), z.number(), z.null()]));

/** A table as data, which the report prints, saves as CSV and links figures to. */
export const tableInputSchema = z.object({
  /** Lower-case words joined by hyphens, unique in the report: the name of its file. */
  id,
  title: z.string().min(1),
  /** One or two sentences: what the numbers are, of whom, and how to read them. */
  caption: z.string(),
  columns: z.array(columnSchema).min(1, "at least one column"),
  rows: z.array(rowSchema),
  /** Lines under the table. */
  notes: z.array(z.string()).optional(),
});

/** A table as it leaves a notebook. */
export const shownTableSchema = z.object({ kind: z.literal("table"), ...tableInputSchema.shape });

/** A table as a run keeps it: as shown, and whether the plan asked for it. */
export const tableSchema = shownTableSchema.extend({ status });

/** @internal */
type CheckedTableColumn = z.infer<typeof columnSchema>;
/** One column of a table. */
export type TableColumn = CheckedTableColumn;
/** @internal */
type CheckedTableRow = z.infer<typeof rowSchema>;
/** One row: a value for each column; null prints as a dash. */
export type TableRow = CheckedTableRow;
/** @internal */
type CheckedTableInput = z.infer<typeof tableInputSchema>;
/** A table as data, which the report prints, saves as CSV and links figures to. */
export type TableInput = CheckedTableInput;
/** A table without its words. */
export type TableBody = Pick<TableInput, "columns" | "rows">;
/** What stands around the rows of a table. */
export type TableHeading = Pick<TableInput, "id" | "title" | "caption" | "notes">;
/** What the plan calls the two groups. */
export interface GroupLabels {
  /** The repairs. */
  readonly repair: string;
  /** The replacements. */
  readonly replacement: string;
}
/** A table as the report keeps it. */
export type TableItem = z.infer<typeof tableSchema>;
