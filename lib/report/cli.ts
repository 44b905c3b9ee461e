import { commandLine, studyOptions } from "../study/command-line/mod.ts";
import { startEarly } from "./early-run.ts";

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
  const begun = await startEarly(values);
  // loaded once a first process is on its way
  const { reportCommand } = await import("./report-command.ts");
  return await reportCommand({ ...values, timeLimit }, begun);
}

if (import.meta.main) Deno.exit(await main(Deno.args));
