import { parseArgs } from "node:util";
import { answerLines } from "./answer.ts";
import { buildReport } from "./build-report.ts";
import { describeFailure, messageOf } from "./notebook.ts";
import { join } from "./paths.ts";
import { progressLines } from "./progress.ts";

const usage = `Runs the notebooks over a study and writes the report.

  deno task report [--study FILE] [--cohort FILE] [--visits FILE] [--out DIR] [--notebooks DIR]

  --study FILE      study file (default: data-demo/study.json)
  --cohort FILE     patients table, in place of the one the study file names
  --visits FILE     echo visits table, in place of the one the study file names
  --out DIR         where the report goes (default: out/<study name>)
  --notebooks DIR   notebooks to run (default: notebooks)

Exit code: 0 the report is complete; 1 a notebook failed and the report says so; 2 no report.
`;

/** Runs the command; the result is its exit code. */
async function main(args: readonly string[]): Promise<number> {
  let values;
  try {
    values = parseArgs({
      args: [...args],
      options: {
        study: { type: "string" },
        cohort: { type: "string" },
        visits: { type: "string" },
        out: { type: "string" },
        notebooks: { type: "string" },
        help: { type: "boolean", short: "h" },
      },
    }).values;
  } catch (error) {
    console.error(`${messageOf(error)}\n\n${usage}`);
    return 2;
  }
  if (values.help) {
    console.log(usage);
    return 0;
  }
  const encoder = new TextEncoder();
  const progress = progressLines({
    write: (text) => Deno.stderr.writeSync(encoder.encode(text)),
    isTerminal: Deno.stderr.isTerminal(),
    now: () => performance.now(),
  });
  let built;
  try {
    built = await buildReport({ ...values, progress });
  } catch (error) {
    console.error(messageOf(error));
    return 2;
  }
  const { folder, model } = built;
  for (const warning of model.items.warnings) console.error(`Note: ${warning}`);
  console.log(`Report      ${join(folder, "report.html")}`);
  console.log(`Tables      ${join(folder, "tables")} (${model.items.tables.length})`);
  console.log(`Figures     ${join(folder, "figures")} (${model.items.figures.length})`);
  console.log(`Notebooks   ${join(folder, "notebooks")} (${model.runs.length})`);
  console.log(`Manifest    ${join(folder, "manifest.json")}`);
  console.log("");
  for (const line of answerLines(model.items.findings.map(({ item }) => item))) console.log(line);
  if (model.failures.length === 0) return 0;
  console.error(`\nThe report is incomplete:`);
  for (const failure of model.failures) console.error(`  ${describeFailure(failure)}`);
  return 1;
}

if (import.meta.main) Deno.exit(await main(Deno.args));
