import { isPlanned } from "../../study/mod.ts";
import { type FigureItem, type Placed, type TableItem, tableOf } from "./items.ts";
import type { ReportModel } from "./report-model.ts";

/** Whether the plan asked for a result. */
export type PlanStatus = "planned" | "exploratory";

/** A result the plan names, and the first thing shown that fulfils it. */
export interface PlannedResult {
  id: string;
  /** Anchor of what was shown; undefined where nothing was. */
  anchor: string | undefined;
  /** Its title, where it has one. */
  title: string | undefined;
}

/** A table's status: its own, else by its name in the plan. */
export function statusOfTable(item: TableItem, model: ReportModel): PlanStatus {
  return item.status ?? byName(item.id, model);
}

/** A figure's status: that of the table that holds its numbers, else by its name in the plan. */
export function statusOfFigure(item: FigureItem, model: ReportModel): PlanStatus {
  const table = tableOf(model.items, item.tableId);
  return table ? statusOfTable(table.item, model) : byName(item.id, model);
}

/**
 * Each result the plan names with what fulfils it: something shown under that name, or something
 * marked planned by a cell that asks the plan for that name.
 */
export function plannedResults(model: ReportModel): PlannedResult[] {
  const { figures, tables, findings } = model.items;
  const shown: [string, Placed, PlanStatus][] = [
    ...tables.map((placed): [string, Placed, PlanStatus] => [
      `table-${placed.item.id}`,
      placed,
      statusOfTable(placed.item, model),
    ]),
    ...figures.map((placed): [string, Placed, PlanStatus] => [
      `figure-${placed.item.id}`,
      placed,
      statusOfFigure(placed.item, model),
    ]),
    ...findings.map((placed): [string, Placed, PlanStatus] => [
      `finding-${placed.item.id}`,
      placed,
      placed.item.status,
    ]),
  ];
  return model.study.planned.map((id) => {
    const named = shown.find(([, { item }]) => item.id === id);
    const asked = shown.find(([, placed, status]) =>
      status === "planned" && model.methods.code(placed)?.quoted.has(id)
    );
    const [anchor, placed] = named ?? asked ?? [];
    return { id, anchor, title: placed && "title" in placed.item ? placed.item.title : undefined };
  });
}

/** The results the plan names that nothing fulfils. */
export function plannedButNotDone(model: ReportModel): string[] {
  return plannedResults(model).filter(({ anchor }) => anchor === undefined).map(({ id }) => id);
}

function byName(id: string, { study }: ReportModel): PlanStatus {
  return isPlanned(study, id) ? "planned" : "exploratory";
}
