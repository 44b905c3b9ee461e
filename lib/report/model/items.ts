import { z } from "zod";
import { isPlanned, type Study } from "../../study/file/mod.ts";
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

const shownTable = z.object({
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
});

/** A table as a run keeps it: as shown, and whether the plan asked for it. */
export const tableSchema = shownTable.extend({ status });

const findingGroupSchema = z.object({
  label: z.string().min(1),
  estimate: proportion,
  lower: proportion,
  upper: proportion,
  n: z.number().int().positive(),
});

const shownFinding = z.object({
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
  tableId: z.string(),
  figureId: z.string().optional(),
  headline: z.boolean().optional(),
  confidence: z.number(),
  smallestThatMatters: z.number(),
});

/** A finding as a run keeps it: as shown, and whether the plan asked for it. */
export const findingSchema = shownFinding.extend({ status });

const noteSchema = z.object({
  kind: z.literal("note"),
  id,
  about: z.enum(["summary", "certainty", "cannot-tell", "caution", "deviation"]),
  text: z.string().min(1),
});

const itemSchema = z.discriminatedUnion("kind", [
  figureSchema,
  shownTable,
  shownFinding,
  noteSchema,
]);

type ShownItem = z.output<typeof itemSchema>;

/** Something a cell showed that the report knows how to place, as it came out of the notebook. */
export type FigureItem = z.output<typeof figureSchema>;
export type TableItem = z.output<typeof tableSchema>;
export type FindingItem = z.output<typeof findingSchema>;
export type NoteItem = z.output<typeof noteSchema>;
export type ReportItem = FigureItem | TableItem | FindingItem | NoteItem;

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
 * table), marks tables and findings as planned where the plan names them, and numbers figures and
 * tables in the order of the report.
 */
export function collectItems(
  runs: readonly NotebookRun[],
  study: Pick<Study, "planned">,
): Items {
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
        const item = withStatus(parsed.data, study);
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

/** Known from the plan alone: a cell cannot call planned what the plan does not name. */
function withStatus(shown: ShownItem, study: Pick<Study, "planned">): ReportItem {
  const of = (...ids: (string | undefined)[]) =>
    ids.some((id) => id !== undefined && isPlanned(study, id)) ? "planned" : "exploratory";
  switch (shown.kind) {
    case "table":
      return { ...shown, status: of(shown.id) };
    case "finding":
      return { ...shown, status: of(shown.id, shown.tableId, shown.figureId) };
    default:
      return shown;
  }
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
