import { drawingToRead } from "./markup/mod.ts";
import type { NotebookRun } from "./notebooks/mod.ts";
import { turn } from "./turn.ts";

/**
 * Reads the drawings of runs that were kept, while the others run: they are remembered.
 * Leaves room for whatever else waits to be done.
 *
 * @param signal Ends it: from now on the pages read for themselves.
 */
export async function readAhead(runs: readonly NotebookRun[], signal: AbortSignal): Promise<void> {
  for (const { outputs } of runs) {
    for (const output of outputs.flat()) {
      const item = "item" in output ? output.item : undefined;
      if (item?.kind !== "figure") continue;
      await turn();
      if (signal.aborted) return;
      drawingToRead(item.svg);
    }
  }
}
