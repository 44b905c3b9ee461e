import {
  commandLine,
  errorOutput,
  type RunPaths,
  studyOptions,
  taskLine,
} from "../study/file/mod.ts";
import { ProblemsError } from "../study/problems/mod.ts";
import { answerLines } from "./show/mod.ts";
import { buildReport } from "./build-report.ts";
import { describeFailures, join, messageOf, progressLines, timingLines } from "./notebooks/mod.ts";

const usage = `Runs the notebooks over a study and writes the report.

  deno task report [--study FILE] [--cohort FILE] [--visits FILE] [--out DIR] [--notebooks DIR]
                   [--print] [--preview] [--fresh] [--timings] [--time-limit SECONDS]

  --study FILE      study file (default: data-demo/study.json)
  --cohort FILE     patients table, in place of the one the study file names
  --visits FILE     echo visits table, in place of the one the study file names
  --out DIR         where the report goes (default: out/<study name>)
  --notebooks DIR   notebooks to run, in place of those the study file names
  --print           figures also as PDF and PNG, for one and two columns of a journal
  --preview         a first look within minutes, marked as such: who was studied, balance, survival
                    and reoperation, and the study's own notebooks, only (default folder:
                    out/<study name>-preview)
  --fresh           runs every notebook; without it, one that would come out the same as in the last
                    report of that folder (same notebook, files, study, library, packages) is not run
  --timings         tells at the end where the time went, by notebook and cell
  --time-limit SECONDS  ends a notebook that takes longer (default: 3600)

Exit code: 0 the report is complete; 1 a notebook failed and the report says so; 2 no report.
`;

/** Runs the command; the result is its exit code. */
async function main(args: readonly string[]): Promise<number> {
  const line = commandLine(args, {
    usage,
    options: {
      ...studyOptions,
      out: { type: "string" },
      notebooks: { type: "string" },
      print: { type: "boolean" },
      preview: { type: "boolean" },
      fresh: { type: "boolean" },
      timings: { type: "boolean" },
      "time-limit": { type: "string" },
    },
  });
  if ("code" in line) return line.code;
  const { values } = line;
  const timeLimit = values["time-limit"] === undefined ? undefined : Number(values["time-limit"]);
  if (timeLimit !== undefined && !(timeLimit > 0)) {
    console.error(`--time-limit must be a number of seconds above 0, got ${values["time-limit"]}`);
    return 2;
  }
  const progress = progressLines(errorOutput());
  let built;
  try {
    const { print, preview, fresh, study, cohort, visits, out, notebooks } = values;
    built = await buildReport({
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

if (import.meta.main) Deno.exit(await main(Deno.args));
