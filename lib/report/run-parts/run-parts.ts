import { cellCode } from "../cells/mod.ts";
import { printSvg, rememberDrawing, rememberPrinted, safeDrawing } from "../markup/mod.ts";
import { type CellOutput, codeOf, type NotebookRun, type RunParts } from "../notebooks/mod.ts";
import { notebookProse, rememberProse } from "../supplement/mod.ts";

/** Reads what pages are made from; what was read of the same before is not read again. */
export function partsOf({ notebook, outputs }: NotebookRun): RunParts {
  return {
    code: cellCode(codeOf(notebook)),
    prose: notebookProse(notebook),
    drawings: drawingsOf(outputs).map((svg) => {
      const safe = safeDrawing(svg);
      return safe ? { safe, printed: printSvg(svg) } : null;
    }),
  };
}

/** Takes what was kept with runs, so that pages need not read it. */
export function rememberParts(runs: readonly NotebookRun[]): void {
  for (const { notebook, outputs, parts } of runs) {
    if (!parts) continue;
    rememberProse(notebook, parts.prose);
    const svgs = drawingsOf(outputs);
    for (const [k, drawing] of parts.drawings.entries()) {
      const svg = svgs[k];
      if (svg === undefined || !drawing) continue;
      rememberDrawing(svg, drawing.safe);
      rememberPrinted(svg, drawing.printed);
    }
  }
}

/** The drawings of a run's figures, in order. */
function drawingsOf(outputs: readonly CellOutput[][]): string[] {
  return outputs.flat().flatMap((output) =>
    "item" in output && output.item?.kind === "figure" ? [output.item.svg] : []
  );
}
