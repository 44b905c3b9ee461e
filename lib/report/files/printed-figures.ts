import type { PrintJob } from "./print-figures.ts";

/** Figures drawn for print; what draws them is loaded here, so that other reports do not wait. */
export async function printedFigures(jobs: readonly PrintJob[]) {
  const { printFigures } = await import("./print-figures.ts");
  return await printFigures(jobs);
}
