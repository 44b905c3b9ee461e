/** Source of one cell: text alone is code. */
export type CellSource = string | { markdown: string };

/** A notebook file's text (nbformat 4.5, no outputs) from cell sources. */
export function makeNotebook(cells: readonly CellSource[]): string {
  return JSON.stringify(
    {
      nbformat: 4,
      nbformat_minor: 5,
      metadata: { kernelspec: { name: "deno", display_name: "Deno", language: "typescript" } },
      cells: cells.map((cell, index) => {
        const id = `cell-${index + 1}`;
        return typeof cell === "string"
          ? {
            cell_type: "code",
            id,
            metadata: {},
            execution_count: null,
            outputs: [],
            source: cell,
          }
          : { cell_type: "markdown", id, metadata: {}, source: cell.markdown };
      }),
    },
    null,
    1,
  );
}
