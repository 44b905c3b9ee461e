import { cellCode } from "../cells/mod.ts";
import { rememberCsv, tableCsv } from "../files/mod.ts";
import type { FigureItem } from "../items/mod.ts";
import {
  drawingOnPage,
  printSvg,
  rememberDrawing,
  rememberPrinted,
  safeDrawing,
} from "../markup/mod.ts";
import { type CellOutput, codeOf, type NotebookRun, type RunParts } from "../notebooks/mod.ts";
import { type AnchoredTable, rememberTable, tableMarkup } from "../page/mod.ts";
import {
  notebookProse,
  rememberProse,
  rememberSaid,
  saidMarkup,
} from "../notebook-sections/mod.ts";

/** Reads what pages are made from; what was read of the same before is not read again. */
export function partsOf({ notebook, outputs }: NotebookRun): RunParts {
  const { figures, tables, said } = shownIn(outputs);
  return {
    code: cellCode(codeOf(notebook)),
    prose: notebookProse(notebook),
    drawings: figures.map(({ svg }) => {
      const safe = safeDrawing(svg);
      const ready = drawingOnPage(svg);
      return safe && ready
        ? { safe: JSON.stringify(safe), markup: ready.value, printed: printSvg(svg) }
        : null;
    }),
    tables: tables.map((table) => ({ markup: tableMarkup(table), csv: tableCsv(table) })),
    said: said.map(saidMarkup),
  };
}

/** Takes what was kept with runs, so that pages need not read it. */
export function rememberParts(runs: readonly NotebookRun[]): void {
  for (const { notebook, outputs, parts } of runs) {
    if (!parts) continue;
    rememberProse(notebook, parts.prose);
    const { figures, tables, said } = shownIn(outputs);
    for (const [k, { svg }] of figures.entries()) {
      const drawing = parts.drawings[k];
      if (!drawing) continue;
      rememberDrawing(svg, () => JSON.parse(drawing.safe), drawing.markup);
      rememberPrinted(svg, drawing.printed);
    }
    for (const [k, table] of tables.entries()) {
      const made = parts.tables[k];
      if (!made) continue;
      rememberTable(table, made.markup);
      rememberCsv(table, made.csv);
    }
    for (const [k, markdown] of said.entries()) {
      const markup = parts.said[k];
      if (markup !== undefined) rememberSaid(markdown, markup);
    }
  }
}

/** What a run's cells showed, by what is made of it, each in order. */
function shownIn(outputs: readonly CellOutput[][]) {
  const figures: FigureItem[] = [];
  const tables: AnchoredTable[] = [];
  const said: string[] = [];
  for (const output of outputs.flat()) {
    if (!("bundle" in output)) continue;
    const { item, bundle } = output;
    if (item?.kind === "figure") figures.push(item);
    if (item?.kind === "table") tables.push(item);
    const markdown = bundle["text/markdown"];
    if (!item && typeof markdown === "string") said.push(markdown);
  }
  return { figures, tables, said };
}
