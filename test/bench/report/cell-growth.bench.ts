// Which cells of the notebooks grow faster than n log n: seconds of the processor of every cell,
// its drawing included, at two numbers of patients, each notebook in a process of its own. What
// else the machine does hardly matters; workers count. Run:
//   deno run -A test/bench/report/cell-growth.bench.ts [FEWER MORE] [--only TEXT] [--sets N]
// Completed sets are few (3, unless told), for a cell's time goes with them.
import { join } from "node:path";
import { parseArgs } from "node:util";
import { notebooksIn, readNotebooks } from "../../../lib/report/snapshot/mod.ts";
import { writeLargeCohort } from "./large-cohort.ts";

const { values, positionals } = parseArgs({
  args: Deno.args,
  allowPositionals: true,
  options: {
    only: { type: "string", default: "" },
    sets: { type: "string", default: "3" },
  },
});
const [fewer = 2000, more = 20_000] = positionals.map(Number);
const folder = Deno.makeTempDirSync({ prefix: "mitral-bench-" });
const at = (path: string) => new URL(path, import.meta.url).pathname;

/** A cohort of so many, and the demonstration's plan of it. */
function studyOf(patients: number): string {
  const own = join(folder, String(patients));
  writeLargeCohort(patients, own);
  const plan = JSON.parse(Deno.readTextFileSync(at("../../../data-demo/study.json")));
  plan.missing.sets = Number(values.sets);
  plan.files = {
    cohort: "patients.csv",
    visits: "visits.csv",
    lifeTable: at("../../../data-demo/life-table.csv"),
  };
  Deno.writeTextFileSync(join(own, "study.json"), JSON.stringify(plan));
  return join(own, "study.json");
}

/** Seconds of each cell of a notebook; what a process that fails says is thrown. */
async function cellSeconds(notebook: string, study: string): Promise<number[]> {
  const { success, stdout, stderr } = await new Deno.Command(Deno.execPath(), {
    args: ["run", "-A", "--no-check", at("cell-seconds.ts"), notebook, study],
  }).output();
  const text = (bytes: Uint8Array) => new TextDecoder().decode(bytes);
  if (!success) throw new Error(`${notebook}: ${text(stderr)}`);
  return JSON.parse(text(stdout).trim().split("\n").at(-1) ?? "[]");
}

const studies = [fewer, more].map(studyOf);
const paths = (await notebooksIn(at("../../../notebooks"))).filter((path) =>
  path.includes(values.only)
);
const { notebooks } = await readNotebooks(paths);
const expected = more * Math.log(more) / (fewer * Math.log(fewer));
for (const [index, { id }] of notebooks.entries()) {
  const [few, many] = await Promise.all(
    studies.map((study) => cellSeconds(paths[index]!, study)),
  );
  const sum = (seconds: readonly number[] | undefined) =>
    (seconds ?? []).reduce((total, one) => total + one, 0).toFixed(1);
  console.log(`\n${id}: ${sum(few)} s of the processor at ${fewer}, ${sum(many)} s at ${more}`);
  for (const [k, seconds] of (many ?? []).entries()) {
    // shorter ones are the compiler's
    if (seconds < 1) continue;
    const before = Math.max(0.05, few?.[k] ?? 0);
    const growth = seconds / before / expected;
    console.log(
      `  cell ${String(k + 1).padStart(2)}: ${before.toFixed(2)} and ${seconds.toFixed(2)} s, ` +
        `${growth.toFixed(2)} times n log n${growth > 1.5 ? "  <- faster" : ""}`,
    );
  }
}
Deno.removeSync(folder, { recursive: true });
