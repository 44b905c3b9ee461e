import type { NotebookRun } from "./run-notebook.ts";

/**
 * Where the time of a run went, as lines: each notebook, slowest first, with its slowest cells.
 *
 * Notebooks run side by side, so that their seconds add up to more than the run took. Where a kept
 * result was used, the seconds are those of the run that it came from.
 *
 * @param runs As they ended.
 * @param cells How many cells of each notebook are named.
 */
export function timingLines(
  runs: readonly Pick<NotebookRun, "notebook" | "seconds" | "kept" | "again">[],
  cells = 3,
): string[] {
  const slowest = runs.toSorted((a, b) => b.seconds.total - a.seconds.total);
  const widest = Math.max(0, ...runs.map(({ notebook }) => notebook.id.length));
  return slowest.map(({ notebook, seconds, kept, again }) => {
    const named = seconds.cells.map((seconds, index) => ({ seconds, cell: index + 1 }))
      .sort((a, b) => b.seconds - a.seconds || a.cell - b.cell)
      .slice(0, cells)
      .filter(({ seconds }) => seconds >= 0.05)
      .map(({ cell, seconds }) => `cell ${cell}: ${seconds.toFixed(1)}`);
    const parts = [`start: ${seconds.start.toFixed(1)}`, ...named].join(", ");
    const note = kept
      ? " (unchanged: of an earlier run)"
      : again
      ? ` (${again.cells} cells run again, in ${again.seconds.toFixed(1)} s)`
      : "";
    return `${notebook.id.padEnd(widest)} ${
      seconds.total.toFixed(1).padStart(7)
    } s  ${parts}${note}`;
  });
}
