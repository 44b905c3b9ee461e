// What a whole report costs by the number of patients, four visits each: seconds of the processor
// by notebook, the slowest cells, the most memory of all processes together. Linux only. Run:
//   deno run -A test/bench/report/report-curve.bench.ts [write] [PATIENTS ...] [--kept FOLDER]
//     [--limit SECONDS]
// With `write` the table in report-curve.md is replaced. Sizes whose costs lie in FOLDER, from a
// run before, are not measured again: large ones take long. A run past the limit is stopped, and
// the table says so: its numbers are those until then.
import { parseArgs } from "node:util";
import { join } from "node:path";
import { writeLargeCohort } from "./large-cohort.ts";
import { type NotebookCost, type ReportCost, reportCost } from "./report-cost.ts";

const { values, positionals } = parseArgs({
  args: Deno.args,
  allowPositionals: true,
  options: { kept: { type: "string" }, limit: { type: "string" } },
});
const asked = positionals.map(Number).filter(Number.isFinite);
const sizes = asked.length > 0 ? asked : [2000, 20_000];
const folder = values.kept ?? Deno.makeTempDirSync();

/** What one size cost, and how fast the machine was before the first. */
type Measured = ReportCost & { roots: number };

/**
 * Seconds for 200 million square roots: a machine is twice as fast where they take half. Taken once
 * a run: after some calls the engine does them otherwise, which says nothing of the machine.
 */
function secondsOfRoots(): number {
  const began = performance.now();
  let sum = 0;
  for (let i = 0; i < 200_000_000; i++) sum += Math.sqrt(i);
  if (!(sum > 0)) throw new Error("no roots were taken");
  return (performance.now() - began) / 1000;
}

const roots = secondsOfRoots();

async function costOf(patients: number): Promise<Measured> {
  const path = join(folder, `cost-${patients}.json`);
  try {
    return JSON.parse(Deno.readTextFileSync(path));
  } catch {
    // not measured yet
  }
  const own = join(folder, `cohort-${patients}`);
  writeLargeCohort(patients, own);
  const limit = Number(values.limit ?? Infinity);
  const cost = {
    ...await reportCost(own, join(folder, `report-${patients}`), { limit }),
    roots,
  };
  Deno.writeTextFileSync(path, JSON.stringify(cost));
  return cost;
}

const costs: { patients: number; cost: Measured }[] = [];
for (const patients of sizes) costs.push({ patients, cost: await costOf(patients) });

const heading = (patients: number) => patients.toLocaleString("en-GB");
const seconds = (value: number | undefined) =>
  value === undefined || Number.isNaN(value) ? "–" : value.toFixed(1);
const slowest = ({ cells }: NotebookCost) => {
  const most = Math.max(...cells);
  return cells.length === 0 ? "" : ` (${cells.indexOf(most) + 1}: ${seconds(most)})`;
};
const row = (name: string, of: (cost: Measured) => string, target = "") =>
  `| ${name} | ${costs.map(({ cost }) => of(cost)).join(" | ")} | ${target} |`;
const ids = costs[0]?.cost.notebooks.map(({ id }) => id) ?? [];
const until = (cost: ReportCost, text: string) =>
  cost.finished ? text : `not finished, ${text} so far`;
const lines = [
  "Seconds by notebook: of the processor, by the clock; in brackets its slowest cell, by the clock.",
  "",
  `| patients | ${sizes.map(heading).join(" | ")} | target at 1,000,000 |`,
  `| --- | ${sizes.map(() => "---:").join(" | ")} | --- |`,
  ...ids.map((id, place) =>
    row(id, (cost) => {
      const one = cost.notebooks[place];
      return one ? `${seconds(one.processor)}, ${seconds(one.total)}${slowest(one)}` : "–";
    }, "5 minutes by the clock")
  ),
  row("all processes, seconds of the processor", (cost) => until(cost, seconds(cost.processor))),
  row(
    "from beginning to end, seconds by the clock",
    (cost) => until(cost, seconds(cost.seconds)),
    "15 minutes",
  ),
  row("most memory of all processes, GB", ({ peak }) => (peak / 2 ** 30).toFixed(2), "6"),
  row("notebooks that failed", ({ failures }) => String(failures.length), "0"),
  "",
  `Before the first, 200 million square roots took ${costs[0]?.cost.roots.toFixed(2)} s.`,
];
console.log(lines.join("\n"));
if (positionals.includes("write")) {
  Deno.writeTextFileSync(new URL("report-curve.md", import.meta.url), `${lines.join("\n")}\n`);
}
