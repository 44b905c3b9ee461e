import { commandLine, messageOf } from "../../study/command-line/mod.ts";
import { comparisonHtml } from "./html.ts";
import { readRun } from "./read.ts";
import { compareRuns } from "./runs.ts";
import { dirname, join } from "../notebooks/mod.ts";
import { projectFolder } from "../sandbox/mod.ts";

const usage = `Shows what differs between two reports: inputs, plan, counts, estimates, tables.

  deno task compare OUT_A OUT_B [--out FILE]

  OUT_A, OUT_B   folders of two reports
  --out FILE     the page (default: out/comparison.html)

Exit code: 0 the page is written; 2 it is not.
`;

/** Runs the command; the result is its exit code. */
async function main(args: readonly string[]): Promise<number> {
  const line = commandLine(args, { usage, options: { out: { type: "string" } }, positionals: 2 });
  if ("code" in line) return line.code;
  const [first = "", second = ""] = line.positionals;
  try {
    const comparison = compareRuns(await readRun(first), await readRun(second));
    const out = line.values.out ?? join(projectFolder, "out", "comparison.html");
    await Deno.mkdir(dirname(out), { recursive: true });
    await Deno.writeTextFile(out, comparisonHtml(comparison));
    console.log(`${comparison.summary}\n\nComparison  ${out}`);
    return 0;
  } catch (error) {
    console.error(messageOf(error));
    return 2;
  }
}

if (import.meta.main) Deno.exit(await main(Deno.args));
