import { parseArgs } from "node:util";
import { cohortParameters } from "../../lib/simulate/parameters.ts";
import type { TruthFile } from "../../lib/simulate/truth-file.ts";
import { datingPerformance } from "./dating.ts";
import { resultsText } from "./results-text.ts";
import { runCohorts } from "./run-cohorts.ts";
import { performance as performanceOf } from "./summary.ts";

// Estimates from many simulated cohorts against the known truth: `deno task calibrate`.
const { values } = parseArgs({
  options: { cohorts: { type: "string", default: "400" }, workers: { type: "string" } },
});
const cohorts = wholeNumber("cohorts", values.cohorts, 2);
const workers = values.workers === undefined ? undefined : wholeNumber("workers", values.workers);
const firstSeed = 700_001;
const seeds = Array.from({ length: cohorts }, (_, k) => firstSeed + k);

const truthPath = new URL("../../data-demo/truth.json", import.meta.url);
const truth: TruthFile = JSON.parse(Deno.readTextFileSync(truthPath));
if (JSON.stringify(truth.parameters) !== JSON.stringify(sixDigits(cohortParameters))) {
  throw new Error("data-demo/truth.json is of other parameters: run deno task demo-data first");
}

const started = performance.now();
const { results, failures } = await runCohorts(seeds, {
  workers,
  done: (ready) => {
    if (ready % 20 !== 0 && ready !== cohorts) return;
    const seconds = ((performance.now() - started) / 1000).toFixed(0);
    console.error(`${ready} of ${cohorts} cohorts, ${seconds} s`);
  },
});
const calibration = {
  cohorts,
  firstSeed,
  failures,
  warned: results.filter(({ warnings }) => warnings.length > 0).length,
  meanEligible: meanOf(results.map(({ eligible }) => eligible)),
  meanPairs: meanOf(results.map(({ pairs }) => pairs)),
  meanClosestPairs: meanOf(results.map(({ closestPairs }) => closestPairs)),
  meanGap: {
    planned: meanOf(results.map(({ gap }) => gap.planned)),
    closest: meanOf(results.map(({ gap }) => gap.closest)),
  },
  rows: performanceOf(results, truth.answers),
  dating: datingPerformance(results.map(({ dated }) => dated), truth.answers),
};
const text = resultsText(calibration);
const write = (name: string, content: string) =>
  Deno.writeTextFileSync(new URL(name, import.meta.url), content);
write("results.json", JSON.stringify(sixDigits(calibration), null, 2) + "\n");
write("results.md", text);
console.log(text);

function wholeNumber(name: string, given: string, least = 1): number {
  const value = Number(given);
  if (Number.isInteger(value) && value >= least) return value;
  throw new Error(`--${name} must be a whole number >= ${least}, got ${given}`);
}

function meanOf(list: number[]): number {
  return list.reduce((sum, x) => sum + x, 0) / list.length;
}

/** Six significant digits, as the truth file has them. */
function sixDigits<T>(value: T): T {
  return JSON.parse(JSON.stringify(
    value,
    (_, x: unknown) => typeof x === "number" && !Number.isInteger(x) ? Number(x.toPrecision(6)) : x,
  ));
}
