import type { FigureItem, Placed, ReportModel, TableItem } from "../model/mod.ts";

/** The page that something is shown on: what its figures are called and where its links lead. */
export interface Place {
  model: ReportModel;
  /** Where a link to an anchor leads: within this page, or to the page that has it. */
  href(anchor: string): string;
  /** What a figure or table is called here: "Figure 2", "Table S14". */
  nameOf(placed: Placed<FigureItem> | Placed<TableItem>): string;
  /** Whether captions name the cell and every method behind what is shown. */
  full: boolean;
}

/** The file that has everything. */
export const supplementFile = "supplement.html";

/** The supplement, which has every item of a run and numbers them in the order of the notebooks. */
export function inSupplement(model: ReportModel): Place {
  return { model, full: true, href: (anchor) => `#${anchor}`, nameOf: supplementName };
}

/**
 * A page that shows some items, numbered as they come, and leads to the supplement for the rest.
 */
export function onOwnPage(
  model: ReportModel,
  shown: readonly (Placed<FigureItem> | Placed<TableItem>)[],
  anchors: readonly string[],
): Place {
  const names = new Map<string, string>();
  const own = new Set(anchors);
  for (const kind of ["figure", "table"] as const) {
    shown.filter(({ item }) => item.kind === kind).forEach(({ item }, i) => {
      names.set(anchorOf(item), `${kind === "figure" ? "Figure" : "Table"} ${i + 1}`);
      own.add(anchorOf(item));
      if (item.kind === "table") item.rows.forEach((_, row) => own.add(rowAnchor(item.id, row)));
    });
  }
  return {
    model,
    full: false,
    href: (anchor) => own.has(anchor) ? `#${anchor}` : `${supplementFile}#${anchor}`,
    nameOf: (placed) => names.get(anchorOf(placed.item)) ?? supplementName(placed),
  };
}

/** The anchor of an item on whatever page shows it. */
export function anchorOf({ kind, id }: { kind: string; id: string }): string {
  return `${kind}-${id}`;
}

/** The anchor of a table's row, from 0. */
export function rowAnchor(table: string, row: number): string {
  return `row-${table}-${row + 1}`;
}

function supplementName({ item, number }: Placed<FigureItem> | Placed<TableItem>): string {
  return `${item.kind === "figure" ? "Figure" : "Table"} S${number}`;
}
