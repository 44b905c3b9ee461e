import { isPlanned, plannedName } from "../../study/file/mod.ts";
import type { FigureItem, PlanStatus } from "../items/mod.ts";
import { type Placed, tableOf } from "./items.ts";
import type { ReportModel } from "./report-model.ts";

/** A result the plan names, and the first thing shown that fulfils it. */
export interface PlannedResult {
  id: string;
  /** Anchor of what was shown; undefined where nothing was. */
  anchor: string | undefined;
  /** Its title, where it has one. */
  title: string | undefined;
}

/** A figure's status: that of the table that holds its numbers, else by its name in the plan. */
export function statusOfFigure(item: FigureItem, model: ReportModel): PlanStatus {
  const table = tableOf(model.items, item.tableId);
  if (table) return table.item.status;
  return isPlanned(model.study, item.id) ? "planned" : "exploratory";
}

/**
 * Each result the plan names with what fulfils it: something shown under that name, or its table.
 */
export function plannedResults(model: ReportModel): PlannedResult[] {
  const { figures, tables, findings } = model.items;
  const shown: Placed[] = [...tables, ...figures, ...findings];
  return model.study.planned.map((id) => {
    const found = shown.find(({ item }) => item.id === id) ??
      shown.find(({ item }) => plannedName(item.id) === id);
    if (!found) return { id, anchor: undefined, title: undefined };
    const { item } = found;
    const title = "title" in item ? item.title : undefined;
    return { id, anchor: `${item.kind}-${item.id}`, title };
  });
}

/** The results the plan names that nothing fulfils. */
export function plannedButNotDone(model: ReportModel): string[] {
  return plannedResults(model).filter(({ anchor }) => anchor === undefined).map(({ id }) => id);
}
