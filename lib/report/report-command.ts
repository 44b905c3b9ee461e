import { messageOf, taskLine } from "../study/command-line/mod.ts";
import { errorOutput, type RunPaths } from "../study/file/mod.ts";
import { ProblemsError } from "../study/problems/mod.ts";
import { buildReport } from "./build-report.ts";
import type { EarlyOptions, EarlyRun } from "./early-run.ts";
import { describeFailures, join, progressLines, timingLines } from "./notebooks/mod.ts";
import { answerLines } from "./show/mod.ts";

/** What the command was asked for; see its usage. */
export interface ReportValues extends EarlyOptions, Pick<RunPaths, "cohort" | "visits"> {
  print?: boolean;
  fresh?: boolean;
  timings?: boolean;
  timeLimit?: number;
}

/**
 * Makes a report and says where it is and what to do next.
 *
 * @param begun What was begun of it; is ended with it.
 * @returns The command's exit code.
 */
export async function reportCommand(
  values: ReportValues,
  begun: EarlyRun | undefined,
): Promise<number> {
  const { print, preview, fresh, study, cohort, visits, out, notebooks, timeLimit } = values;
  const progress = progressLines(errorOutput());
  let built;
  try {
    built = await buildReport({
      begun,
      study,
      cohort,
      visits,
      out,
      notebooks,
      timeLimit,
      ...(print && { print: "figures" as const }),
      ...(preview && { preview }),
      ...(fresh && { fresh }),
      declareTypes: true,
      progress,
    });
  } catch (error) {
    console.error(messageOf(error));
    if (error instanceof ProblemsError) console.error(everythingWrong(values));
    return 2;
  }
  const { folder, model, files } = built;
  for (const warning of model.items.warnings) console.error(`Note: ${warning}`);
  console.log(`Report      ${join(folder, "report.html")}`);
  console.log(`Tables      ${join(folder, "tables")} (${model.items.tables.length}, CSV and Word)`);
  console.log(
    `Figures     ${join(folder, "figures")} (${model.items.figures.length}, ${
      values.print ? "SVG, PDF and PNG" : "SVG; --print adds PDF and PNG"
    })`,
  );
  console.log(`Notebooks   ${join(folder, "notebooks")} (${model.runs.length})`);
  if (files.includes("excluded.csv")) {
    console.log(`Left out    ${join(folder, "excluded.csv")} (one row a patient: do not share it)`);
  }
  console.log(`Manifest    ${join(folder, "manifest.json")}`);
  if (values.timings) console.error(["\nTime", ...timingLines(model.runs)].join("\n  "));
  console.log("");
  for (
    const line of answerLines(model.items.findings.map(({ item }) => item), model.study.estimand)
  ) console.log(line);
  if (model.failures.length === 0) {
    console.log(`\n${values.preview ? nextAfterPreview(values) : nextAfterReport(folder)}`);
    return 0;
  }
  console.error(`\nThe report is incomplete:`);
  for (const failure of describeFailures(model.failures)) console.error(`  ${failure}`);
  // what stops the reading hides what would be found after it
  if (!files.includes("excluded.csv")) console.error(everythingWrong(values));
  return 1;
}

/** What to do with a whole report. */
function nextAfterReport(folder: string): string {
  return `Next: open ${join(folder, "report.html")}; ${join(folder, "brief.html")} is a page to ` +
    "hand out. Whether the files are still as the run left them is told by\n" +
    `  ${taskLine("verify", {}, [folder])}`;
}

/** A preview is no report yet. */
function nextAfterPreview({ study, cohort, visits, out }: RunPaths & { out?: string }): string {
  return `Next: this was a first look; the report is made by\n` +
    `  ${taskLine("report", { study, cohort, visits, out })}`;
}

/** Where to find every problem of the files, as a line to be copied into a shell. */
function everythingWrong(paths: RunPaths): string {
  const { study, cohort, visits } = paths;
  return `\nEvery problem of the study file and its tables, not only what stops a run, is listed by\n` +
    `  ${taskLine("validate", { study, cohort, visits })}`;
}
