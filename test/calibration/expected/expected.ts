// Ratios of deaths to those expected, against what they tend to, in two case mixes:
//   deno run --allow-read --allow-write --allow-sys test/calibration/expected/expected.ts \
//     --keep FOLDER [--mix demo|harder] [--cohorts 400] [--write]
import { fileURLToPath } from "node:url";
import * as mitral from "mitral";
import { simulateCohort } from "../../../lib/simulate/rows/mod.ts";
import { aboutCohort } from "../printed/about-cohort.ts";
import { calibrateInBothMixes } from "../printed/in-both-mixes.ts";
import type { Mix } from "../printed/mixes.ts";
import type { PrintedCohort } from "../printed/printed-estimates.ts";
import { readBack } from "../read-back.ts";

/** A cohort with the deaths behind its ratios, which add up over cohorts. */
interface ExpectedCohort extends PrintedCohort {
  deathsOf: Record<string, { observed: number; expected: number }>;
}

const lifeTablePath = fileURLToPath(new URL("../../../data-demo/life-table.csv", import.meta.url));

await calibrateInBothMixes({
  ofCohort: ratiosOf,
  withTruth,
  json: "expected.json",
  results: new URL("results.md", import.meta.url),
  told: {
    title: "Ratios of deaths to those expected, against what they tend to",
    truth: "the ratio in all cohorts together",
    madeBy: "test/calibration/expected/expected.ts",
  },
});

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
