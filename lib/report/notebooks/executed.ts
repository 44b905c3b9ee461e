import type { CellOutput, NotebookRun } from "./run-notebook.ts";

/**
 * A notebook with what its cells showed, as a file any notebook client opens (nbformat 4.5). The
 * same run gives the same bytes: it holds no times.
 */
export function executedNotebook({ notebook, outputs, stopped }: NotebookRun): string {
  let count = 0;
  const cells = notebook.cells.map((cell) => {
    const { cell_type, id, metadata } = cell;
    const source = linesOf(cell.source);
    if (cell.cell_type !== "code") return { cell_type, id, metadata, source };
    const shown = outputs[count++] ?? [];
    const reached = shown.length > 0 || count <= (stopped ?? lastReached(outputs));
    return {
      cell_type,
      execution_count: reached ? count : null,
      id,
      metadata,
      outputs: shown.map((output) => outputJson(output, count)),
      source,
    };
  });
  const { metadata, minor } = notebook;
  return `${JSON.stringify({ cells, metadata, nbformat: 4, nbformat_minor: minor }, null, 1)}\n`;
}

function lastReached(outputs: readonly CellOutput[][]): number {
  const failed = outputs.findIndex((cell) => cell.some(({ type }) => type === "error"));
  return failed < 0 ? outputs.length : failed + 1;
}

function outputJson(output: CellOutput, count: number): Record<string, unknown> {
  switch (output.type) {
    case "stream":
      return { name: output.name, output_type: "stream", text: linesOf(output.text) };
    case "error":
      return {
        ename: output.name,
        evalue: output.message,
        output_type: "error",
        traceback: [output.message],
      };
    case "display":
      return { data: mediaJson(output.bundle), metadata: {}, output_type: "display_data" };
    case "result":
      return {
        data: mediaJson(output.bundle),
        execution_count: count,
        metadata: {},
        output_type: "execute_result",
      };
  }
}

function mediaJson(bundle: Record<string, unknown>): Record<string, unknown> {
  return Object.fromEntries(
    Object.entries(bundle).map(([type, content]) => [
      type,
      typeof content === "string" ? linesOf(content) : content,
    ]),
  );
}

/** Text as notebook files hold it: a list of lines, each with its line break. */
function linesOf(text: string): string[] {
  return text.split(/(?<=\n)/).filter((line) => line !== "");
}
