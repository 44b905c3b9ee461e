import { printSvg, rememberDrawing, safeDrawing } from "./markup/mod.ts";
import type { NotebookRun } from "./notebooks/mod.ts";
import { notebookProse } from "./supplement/mod.ts";
import { turn } from "./turn.ts";

/**
 * Reads what pages are made from of runs that were kept, while the others run: it is remembered.
 * Leaves room for whatever else waits to be done.
 *
 * @param signal Ends it: from now on the pages read for themselves.
 */
export async function readAhead(runs: readonly NotebookRun[], signal: AbortSignal): Promise<void> {
  rememberDrawings(runs);
  for (const { notebook, outputs } of runs) {
    await turn();
    if (signal.aborted) return;
    notebookProse(notebook);
    for (const output of outputs.flat()) {
      const item = "item" in output ? output.item : undefined;
      if (item?.kind !== "figure") continue;
      await turn();
      if (signal.aborted) return;
      if (safeDrawing(item.svg)) printSvg(item.svg);
    }
  }
}

/** Takes the drawings that were kept with runs. */
export function rememberDrawings(runs: readonly NotebookRun[]): void {
  for (const [svg, safe] of runs.flatMap(({ drawings }) => [...drawings ?? []])) {
    rememberDrawing(svg, safe);
  }
}
