import { isPlanned, type Study } from "../../study/file/mod.ts";
import type {
  FigureItem,
  FindingItem,
  NoteItem,
  ReportItem,
  ShownItem,
  TableItem,
} from "../items/mod.ts";
import type { NotebookFailure, NotebookRun } from "../notebooks/mod.ts";
import { tellPatients } from "./patients-told.ts";

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
  /** Outputs that repeat a warning shown before. */
  repeated: Set<object>;
  /** What is wrong with items: a malformed one, a name used twice. */
  failures: NotebookFailure[];
  /** Links that lead nowhere; the report leaves them out. */
  warnings: string[];
}

/**
 * Gathers what the notebooks showed, marks tables and findings as planned where the plan names
 * them, numbers figures and tables in the order in which they were shown, and says of each on how
 * many patients it rests.
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
    repeated: new Set(),
    failures: [],
    warnings: [],
  };
  const seen = new Map<string, Placed>();
  for (const { notebook, outputs } of runs) {
    outputs.forEach((cellOutputs, index) => {
      for (const output of cellOutputs) {
        if (output.type !== "display" && output.type !== "result") continue;
        const { item: shown, unreadable } = output;
        const cell = index + 1;
        const fail = (message: string) =>
          items.failures.push({ notebook: notebook.id, cell, stage: "running", message });
        if (unreadable) fail(`Cannot show it in the report: ${unreadable}`);
        if (!shown) continue;
        const item = withStatus(shown, study);
        const name = `${item.kind} ${item.id}`;
        const before = seen.get(name);
        if (before && item.kind === "note" && item.about === "warning") {
          items.repeated.add(output);
          continue;
        }
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
  tellPatients(items);
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
