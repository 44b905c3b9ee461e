// Differences between subgroups and between populations against their truth, in two case mixes:
//   deno run --allow-read --allow-write --allow-sys test/calibration/subgroups/subgroups.ts \
//     --keep FOLDER [--mix demo|harder] [--cohorts 400] [--write]
// What is done is kept in FOLDER, one line a cohort, and a run that was stopped goes on from there.
// --write turns what is kept into `lib/sensitivity/calibrated/subgroups.json` and `results.md`.
import { join } from "node:path";
import { parseArgs } from "node:util";
import { keptCohorts } from "../kept-cohorts.ts";
import { type Mix, mixes } from "../printed/mixes.ts";
import { type MixPerformance, performanceOf } from "../printed/performance.ts";
import { performanceText } from "../printed/performance-text.ts";
import { jsonOf, rounded } from "../printed/rows-text.ts";
import { type SubgroupCohort, subgroupEstimates } from "./subgroup-estimates.ts";
import { withTruth } from "./subgroup-truth.ts";

const { values } = parseArgs({
  options: {
    keep: { type: "string" },
    mix: { type: "string" },
    cohorts: { type: "string", default: "400" },
    write: { type: "boolean", default: false },
  },
});
if (!values.keep) throw new Error("--keep must name the folder in which cohorts are kept");
const folder = values.keep;
const firstSeed = 700_001;
Deno.mkdirSync(folder, { recursive: true });
const fileOf = ({ name }: Mix) => join(folder, `${name}.jsonl`);
const keptOf = (mix: Mix) => keptCohorts<SubgroupCohort>(fileOf(mix));

if (values.write) write();
else await run();

async function run(): Promise<void> {
  for (const mix of mixes.filter(({ name }) => name === (values.mix ?? name))) {
    const done = new Set(keptOf(mix).map(({ seed }) => seed));
    for (let k = 0; k < Number(values.cohorts); k++) {
      const seed = firstSeed + k;
      if (done.has(seed)) continue;
      const line = JSON.stringify(
        await subgroupEstimates(seed, mix),
        (_, x: unknown) => typeof x === "number" ? rounded(x, 7) : x,
      );
      Deno.writeTextFileSync(fileOf(mix), line + "\n", { append: true });
    }
  }
}

function write(): void {
  const found = mixes.map((mix): MixPerformance =>
    performanceOf(mix, { cohorts: withTruth(keptOf(mix)), firstSeed })
  );
  const at = (path: string) => new URL(path, import.meta.url);
  Deno.writeTextFileSync(at("../../../lib/sensitivity/calibrated/subgroups.json"), jsonOf(found));
  Deno.writeTextFileSync(
    at("results.md"),
    performanceText(found, {
      title: "Differences between subgroups and populations against their known truth",
      truth: "of the overlap among all patients of the cohorts, under either operation",
      madeBy: "test/calibration/subgroups/subgroups.ts",
    }),
  );
}
