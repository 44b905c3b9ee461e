import { parseCell } from "../cells/mod.ts";
import { messageOf } from "../../study/command-line/mod.ts";
import type { Notebook, NotebookFailure } from "./notebook.ts";

/** A notebook's code cells as one TypeScript module. */
export interface NotebookModule {
  id: string;
  source: string;
  /** Code cells in it. */
  cellCount: number;
  /** Where a line of the module (from 1) stands in the notebook; undefined between cells. */
  place(moduleLine: number): { cell: number; line: number } | undefined;
}

/** What {@link notebookModule} found: the module, or the first cell that cannot be parsed. */
export type ModuleResult = { module: NotebookModule } | { failure: NotebookFailure };

interface Insertion {
  at: number;
  remove: number;
  text: string;
}

/**
 * Joins a notebook's code cells into one module, so that the compiler can check it whole.
 *
 * Every line of a cell stays one line of the module, so a position in the module is a position in a
 * cell. A cell that ends in an expression shows its value; relative imports are taken from the
 * notebook's folder, as notebook clients do.
 *
 * @param only The code cells (from 0) whose code is put in; the others begin in their turn and do
 * nothing, each with as many lines as it has.
 */
export function notebookModule(notebook: Notebook, only?: ReadonlySet<number>): ModuleResult {
  const lines = [header];
  const starts: { cell: number; first: number; count: number }[] = [];
  let cell = 0;
  for (const { cell_type, source } of notebook.cells) {
    if (cell_type !== "code") continue;
    cell++;
    const prepared = prepareCell(source, cell, notebook);
    if ("failure" in prepared) return prepared;
    const cellLines = prepared.source.split("\n");
    lines.push(`;$mitral.cell(${cell});`);
    starts.push({ cell, first: lines.length + 1, count: cellLines.length });
    lines.push(...(only?.has(cell - 1) ?? true ? cellLines : cellLines.map(() => "")));
  }
  lines.push("");
  return {
    module: {
      id: notebook.id,
      source: lines.join("\n"),
      cellCount: cell,
      place(moduleLine) {
        const found = starts.findLast((start) => start.first <= moduleLine);
        if (!found || moduleLine >= found.first + found.count) return undefined;
        return { cell: found.cell, line: moduleLine - found.first + 1 };
      },
    },
  };
}

/**
 * What the module calls, under a name that a cell can neither give anew nor change. Its own address
 * is an address of this machine, so a module is not for publishing.
 */
const header = `import * as $mitral from ${
  JSON.stringify(new URL("../guest/runtime.ts", import.meta.url).href)
};`;

function prepareCell(
  source: string,
  cell: number,
  notebook: Notebook,
): { source: string } | { failure: NotebookFailure } {
  const normalised = source.replaceAll("\r\n", "\n");
  let program;
  try {
    program = parseCell(normalised).program;
  } catch (error) {
    return {
      failure: {
        notebook: notebook.id,
        cell,
        line: lineOf(error),
        stage: "syntax",
        message: `SyntaxError: ${messageOf(error).replace(/ \(\d+:\d+\)$/, "")}`,
      },
    };
  }
  const insertions: Insertion[] = [];
  for (const statement of program.body) {
    const from = "source" in statement ? statement.source : undefined;
    if (!from || !/^\.{1,2}\//.test(from.value)) continue;
    const url = new URL(from.value, notebook.folder).href;
    const { start, end } = positions(from);
    insertions.push({ at: start, remove: end - start, text: JSON.stringify(url) });
  }
  const last = program.body.at(-1);
  // a cell that is nothing but a quoted string parses as a directive
  const shown = last?.type === "ExpressionStatement"
    ? last.expression
    : last === undefined
    ? program.directives.at(-1)?.value
    : undefined;
  if (shown) {
    const { start, end } = positions(shown);
    insertions.push({ at: start, remove: 0, text: "await $mitral.show((" });
    insertions.push({ at: end, remove: 0, text: "))" });
  }
  return { source: insertAll(normalised, insertions) };
}

function insertAll(source: string, insertions: readonly Insertion[]): string {
  let result = source;
  for (const { at, remove, text } of [...insertions].sort((a, b) => b.at - a.at)) {
    result = result.slice(0, at) + text + result.slice(at + remove);
  }
  return result;
}

function positions(node: { start?: number | null; end?: number | null }) {
  if (typeof node.start !== "number" || typeof node.end !== "number") {
    throw new Error("Cannot place a cell's last expression: the parser gave no position");
  }
  return { start: node.start, end: node.end };
}

function lineOf(error: unknown): number | undefined {
  if (typeof error !== "object" || error === null || !("loc" in error)) return undefined;
  const { loc } = error;
  return typeof loc === "object" && loc !== null && "line" in loc && typeof loc.line === "number"
    ? loc.line
    : undefined;
}
