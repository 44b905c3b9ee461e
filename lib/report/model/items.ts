import { z } from "zod";
import { itemName, longestItemName } from "../../words/mod.ts";
import { describeFailure, type NotebookFailure, type NotebookRun } from "../notebooks/mod.ts";

const id = z.string().regex(itemName, "lower-case words joined by hyphens").max(longestItemName);
const status = z.enum(["planned", "exploratory"]);
const proportion = z.number().min(0).max(1);
const signedProportion = z.number().min(-1).max(1);

const figureSchema = z.object({
  kind: z.literal("figure"),
  id,
  title: z.string().min(1),
  caption: z.string(),
  alt: z.string().min(1),
  svg: z.string().min(1),
  /** The same at the width of two columns, where it is to be printed. */
  wide: z.string().min(1).optional(),
  tableId: z.string().optional(),
  version: z.object({ of: id, design: z.enum(["unadjusted", "matched", "weighted"]) }).optional(),
});

/** A table as a run keeps it. */
export const tableSchema = z.object({
  kind: z.literal("table"),
  id,
  title: z.string().min(1),
  caption: z.string(),
  columns: z.array(z.object({
    key: z.string(),
    label: z.string(),
    unit: z.string().optional(),
    align: z.enum(["left", "right"]).optional(),
    digits: z.number().int().min(0).max(12).optional(),
    kind: z.enum(["text", "number", "percent", "pvalue"]).optional(),
  })).min(1),
  rows: z.array(z.record(z.string(), z.union([z.string(), z.number(), z.null()]))),
  notes: z.array(z.string()).optional(),
  status: status.optional(),
});

const findingGroupSchema = z.object({
  label: z.string().min(1),
  estimate: proportion,
  lower: proportion,
  upper: proportion,
  n: z.number().int().positive(),
});

/** A finding as a run keeps it. */
export const findingSchema = z.object({
  kind: z.literal("finding"),
  id,
  endpoint: z.enum(["death", "recurrence", "reoperation"]),
  quantity: z.enum(["alive", "died", "recurrence", "alive without recurrence", "reoperation"]),
  horizon: z.number().positive(),
  design: z.enum(["matched", "weighted", "unadjusted"]),
  estimand: z.enum(["everyone", "treated", "overlap", "matched sample"]),
  groups: z.tuple([findingGroupSchema, findingGroupSchema]),
  difference: z.object({
    estimate: signedProportion,
    lower: signedProportion,
    upper: signedProportion,
    pValue: proportion.optional(),
  }),
  status,
  tableId: z.string(),
  figureId: z.string().optional(),
  headline: z.boolean().optional(),
  confidence: z.number(),
  smallestThatMatters: z.number(),
});

const noteSchema = z.object({
  kind: z.literal("note"),
  id,
  about: z.enum(["summary", "certainty", "cannot-tell", "caution", "deviation"]),
  text: z.string().min(1),
});

const itemSchema = z.discriminatedUnion("kind", [
  figureSchema,
  tableSchema,
  findingSchema,
  noteSchema,
]);

/** Something a cell showed that the report knows how to place, as it came out of the notebook. */
export type ReportItem = z.output<typeof itemSchema>;
export type FigureItem = Extract<ReportItem, { kind: "figure" }>;
export type TableItem = Extract<ReportItem, { kind: "table" }>;
export type FindingItem = Extract<ReportItem, { kind: "finding" }>;
export type NoteItem = Extract<ReportItem, { kind: "note" }>;

/** An item and where it was shown. */
export interface Placed<Item extends ReportItem = ReportItem> {
  item: Item;
  notebook: string;
  /** Code cell, from 1. */
  cell: number;
  /** Counts figures and tables, each in the order of the report, from 1. */
  number: number;
}

/** Every item of a report, by kind and by the output that carried it. */
export interface Items {
  figures: Placed<FigureItem>[];
  tables: Placed<TableItem>[];
  findings: Placed<FindingItem>[];
  notes: Placed<NoteItem>[];
  /** The item an output carries, by the output object. */
  byOutput: Map<object, Placed>;
  /** What is wrong with items: a malformed one, a name used twice. */
  failures: NotebookFailure[];
  /** Links that lead nowhere; the report leaves them out. */
  warnings: string[];
}

/**
 * Gathers what the notebooks showed, checks its shape (a cell may show any object that says it is a
 * table) and numbers figures and tables in the order of the report.
 */
export function collectItems(runs: readonly NotebookRun[]): Items {
  const items: Items = {
    figures: [],
    tables: [],
    findings: [],
    notes: [],
    byOutput: new Map(),
    failures: [],
    warnings: [],
  };
  const seen = new Map<string, Placed>();
  for (const { notebook, outputs } of runs) {
    outputs.forEach((cellOutputs, index) => {
      for (const output of cellOutputs) {
        if (output.type !== "display" && output.type !== "result") continue;
        if (output.item === undefined || output.item === null) continue;
        const cell = index + 1;
        const fail = (message: string) =>
          items.failures.push({ notebook: notebook.id, cell, stage: "running", message });
        const parsed = itemSchema.safeParse(output.item);
        if (!parsed.success) {
          const issue = parsed.error.issues[0];
          fail(`Cannot show it in the report: ${issue?.path.join(".")}: ${issue?.message}`);
          continue;
        }
        const item = parsed.data;
        const name = `${item.kind} ${item.id}`;
        const before = seen.get(name);
        if (before) {
          fail(`the ${name} was shown already by ${before.notebook}, cell ${before.cell}`);
          continue;
        }
        const placed: Placed = { item, notebook: notebook.id, cell, number: 0 };
        seen.set(name, placed);
        items.byOutput.set(output, placed);
        place(items, placed);
      }
    });
  }
  items.warnings.push(...danglingLinks(items));
  return items;
}

/** The table of that id, if it was shown. */
export function tableOf(items: Items, id: string | undefined): Placed<TableItem> | undefined {
  return items.tables.find(({ item }) => item.id === id);
}

/** All failures of a report: those of runs first, in order, then those of items. */
export function allFailures(runs: readonly NotebookRun[], items: Items): NotebookFailure[] {
  return [...runs.flatMap(({ failure }) => failure ?? []), ...items.failures];
}

/** All failures as lines. */
export function failureLines(failures: readonly NotebookFailure[]): string[] {
  return failures.map(describeFailure);
}

function place(items: Items, placed: Placed): void {
  const { item } = placed;
  const put = <Item extends ReportItem>(list: Placed<Item>[]) => {
    placed.number = list.length + 1;
    list.push(placed as Placed<Item>);
  };
  switch (item.kind) {
    case "figure":
      return put<FigureItem>(items.figures);
    case "table":
      return put<TableItem>(items.tables);
    case "finding":
      return put<FindingItem>(items.findings);
    case "note":
      return put<NoteItem>(items.notes);
  }
}

function danglingLinks(items: Items): string[] {
  const figures = new Set(items.figures.map(({ item }) => item.id));
  const lines: string[] = [];
  for (const { item, notebook, cell } of [...items.figures, ...items.findings]) {
    const where = `${notebook}, cell ${cell}: the ${item.kind} ${item.id}`;
    if (item.tableId !== undefined && !tableOf(items, item.tableId)) {
      lines.push(`${where} names the table ${item.tableId}, which no cell showed`);
    }
    if (item.kind === "finding" && item.figureId !== undefined && !figures.has(item.figureId)) {
      lines.push(`${where} names the figure ${item.figureId}, which no cell showed`);
    }
  }
  return lines;
}
