import { messageOf } from "../../study/command-line/mod.ts";
import type { NotebookFailure } from "./notebook.ts";
import type { CellOutput, NotebookRun } from "./run-notebook.ts";

/**
 * Takes what cannot be drawn out of runs, so that the rest can be: prose, or what a cell showed.
 * Each loss is a failure of its notebook.
 *
 * @param draw Draws a report of some runs, or throws.
 */
export async function withoutUndrawable(
  runs: readonly NotebookRun[],
  draw: (runs: NotebookRun[]) => Promise<unknown>,
): Promise<NotebookRun[]> {
  const problemOf = async (run: NotebookRun): Promise<string | undefined> => {
    try {
      await draw([run]);
      return undefined;
    } catch (error) {
      return messageOf(error).split("\n")[0];
    }
  };
  const kept: NotebookRun[] = [];
  for (const run of runs) kept.push(await problemOf(run) ? await reduced(run, problemOf) : run);
  return kept;
}

async function reduced(
  run: NotebookRun,
  problemOf: (run: NotebookRun) => Promise<string | undefined>,
): Promise<NotebookRun> {
  let { notebook, failure } = run;
  const fail = (message: string, cell?: number): NotebookFailure => ({
    notebook: notebook.id,
    ...(cell !== undefined && { cell }),
    stage: "running",
    message,
  });
  const nothing = run.outputs.map((): CellOutput[] => []);
  const prose = await problemOf({ ...run, outputs: nothing });
  if (prose) {
    notebook = {
      ...notebook,
      cells: notebook.cells.filter(({ cell_type }) => cell_type === "code"),
    };
    failure ??= fail(`its text cannot be drawn: ${prose}`);
  }
  const outputs = [...run.outputs];
  for (const [index, shown] of run.outputs.entries()) {
    const alone = { ...run, notebook, outputs: nothing.with(index, shown) };
    const problem = shown.length > 0 ? await problemOf(alone) : undefined;
    if (!problem) continue;
    const message = `what it showed cannot be drawn: ${problem}`;
    outputs[index] = [{ type: "error", name: "Error", message }];
    failure ??= fail(message, index + 1);
  }
  return { ...run, notebook, outputs, failure };
}
