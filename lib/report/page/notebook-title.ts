import type { ReportModel } from "../model/mod.ts";

/** The title of a notebook, without its marks; its name where it has none. */
export function notebookTitle({ runs }: Pick<ReportModel, "runs">, id: string): string {
  const run = runs.find(({ notebook }) => notebook.id === id);
  return (run?.notebook.title ?? id).replace(/[`*_$]/g, "");
}
