// Ratios of deaths to those expected, against what they tend to, in two case mixes:
//   deno run --allow-read --allow-write --allow-sys test/calibration/expected/expected.ts \
//     --keep FOLDER [--mix demo|harder] [--cohorts 400] [--write]
// What is done is kept in FOLDER, one line a cohort, and a run that was stopped goes on from there.
// --write turns what is kept into `lib/sensitivity/calibrated/expected.json` and `results.md`.
import { fileURLToPath } from "node:url";
import { join } from "node:path";
import { parseArgs } from "node:util";
import * as mitral from "mitral";
import { simulateCohort } from "../../../lib/simulate/rows/mod.ts";
import { keptCohorts } from "../kept-cohorts.ts";
import { aboutCohort } from "../printed/about-cohort.ts";
import { type Mix, mixes } from "../printed/mixes.ts";
import { performanceOf } from "../printed/performance.ts";
import { performanceText } from "../printed/performance-text.ts";
import type { PrintedCohort } from "../printed/printed-estimates.ts";
import { jsonOf, rounded } from "../printed/rows-text.ts";
import { readBack } from "../read-back.ts";

/** A cohort with the deaths behind its ratios, which add up over cohorts. */
interface ExpectedCohort extends PrintedCohort {
  deathsOf: Record<string, { observed: number; expected: number }>;
}

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
const keptOf = (mix: Mix) => keptCohorts<ExpectedCohort>(fileOf(mix));
const at = (path: string) => new URL(path, import.meta.url);
const lifeTablePath = fileURLToPath(at("../../../data-demo/life-table.csv"));

if (values.write) write();
else await run();

async function ratiosOf(seed: number, mix: Mix): Promise<ExpectedCohort> {
  const simulated = simulateCohort({ seed, n: mix.n, parameters: mix.parameters });
  const analysis = await readBack(simulated);
  const patients = Array.from(analysis.rows, (row) => simulated.truth[row]!);
  const sample = mitral.weightedSample(analysis, analysis.study);
  const withTable = { ...analysis, study: { ...analysis.study, lifeTablePath } };
  const lines = await mitral.expectedLines(withTable, mitral.followUpOf(analysis, "death"));
  const arms = lines.map((line) => ({
    ...line,
    of: line.group === analysis.groups.labels.repair ? "repair" : "replacement",
  }));
  return {
    seed,
    ...aboutCohort(analysis, sample, patients),
    estimates: arms.map(({ of, ratio, lower, upper }) => ({
      ...{ quantity: "ratio of deaths to those expected", design: "unadjusted" },
      ...{ population: "everyone", of, time: 0 },
      ...{ estimate: ratio, standardError: (upper - lower) / (2 * 1.959964), lower, upper },
    })),
    deathsOf: Object.fromEntries(
      arms.map(({ of, observed, expected }) => [of, { observed, expected }]),
    ),
  };
}

async function run(): Promise<void> {
  for (const mix of mixes.filter(({ name }) => name === (values.mix ?? name))) {
    const done = new Set(keptOf(mix).map(({ seed }) => seed));
    for (let k = 0; k < Number(values.cohorts); k++) {
      if (done.has(firstSeed + k)) continue;
      const line = JSON.stringify(
        await ratiosOf(firstSeed + k, mix),
        (_, x: unknown) => typeof x === "number" ? rounded(x, 7) : x,
      );
      Deno.writeTextFileSync(fileOf(mix), line + "\n", { append: true });
    }
  }
}

/** Each estimate beside the ratio in all cohorts together. */
function withTruth(cohorts: readonly ExpectedCohort[]): PrintedCohort[] {
  const ratio = (of: string) => {
    const own = cohorts.map(({ deathsOf }) => deathsOf[of]!);
    const sum = (key: "observed" | "expected") => own.reduce((all, one) => all + one[key], 0);
    return sum("observed") / sum("expected");
  };
  const truth: Record<string, number> = {
    repair: ratio("repair"),
    replacement: ratio("replacement"),
  };
  return cohorts.map(({ deathsOf: _, estimates, ...cohort }) => ({
    ...cohort,
    estimates: estimates.map((one) => ({ ...one, own: truth[one.of]! })),
  }));
}

function write(): void {
  const found = mixes.map((mix) =>
    performanceOf(mix, { cohorts: withTruth(keptOf(mix)), firstSeed })
  );
  Deno.writeTextFileSync(at("../../../lib/sensitivity/calibrated/expected.json"), jsonOf(found));
  Deno.writeTextFileSync(
    at("results.md"),
    performanceText(found, {
      title: "Ratios of deaths to those expected, against what they tend to",
      truth: "the ratio in all cohorts together",
      madeBy: "test/calibration/expected/expected.ts",
    }),
  );
}
