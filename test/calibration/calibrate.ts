import { parseArgs } from "node:util";
import { cohortParameters } from "../../lib/simulate/mechanism/parameters.ts";
import type { TruthFile } from "../../lib/simulate/truth/truth-file.ts";
import { timeLeftText } from "../../lib/words/mod.ts";
import { datingPerformance } from "./visits/dating.ts";
import { type Calibration, resultsText, withSummary } from "./results-text.ts";
import { runCohorts } from "./run-cohorts.ts";
import { performance as performanceOf } from "./summary.ts";

// Estimates from many simulated cohorts against the known truth: `deno task calibrate`. Writes
// results.json, results.md and the summary in DEVELOPERS.md; --rewrite only the last two.
const { values } = parseArgs({
  options: {
    cohorts: { type: "string", default: "400" },
    workers: { type: "string" },
    rewrite: { type: "boolean", default: false },
  },
});
const firstSeed = 700_001;
const idealCohorts = 100;
const at = (path: string) => new URL(path, import.meta.url);

const calibration: Calibration = values.rewrite
  ? JSON.parse(Deno.readTextFileSync(at("results.json")))
  : sixDigits(await calibrate(wholeNumber("cohorts", values.cohorts, 2)));
Deno.writeTextFileSync(at("results.json"), JSON.stringify(calibration, null, 2) + "\n");
Deno.writeTextFileSync(at("results.md"), resultsText(calibration));
const guide = at("../../DEVELOPERS.md");
Deno.writeTextFileSync(guide, withSummary(Deno.readTextFileSync(guide), calibration));
console.log(resultsText(calibration));

async function calibrate(cohorts: number): Promise<Calibration> {
  const truth: TruthFile = JSON.parse(Deno.readTextFileSync(at("../../data-demo/truth.json")));
  if (JSON.stringify(truth.parameters) !== JSON.stringify(sixDigits(cohortParameters))) {
    throw new Error("data-demo/truth.json is of other parameters: run deno task demo-data first");
  }
  const seeds = Array.from({ length: cohorts }, (_, k) => firstSeed + k);
  const { results, failures } = await runCohorts(
    "estimates",
    seeds,
    progress("estimates", cohorts),
  );
  const ideal = await runCohorts(
    "idealVisits",
    seeds.slice(0, idealCohorts),
    progress("ideal visits", Math.min(idealCohorts, cohorts)),
  );
  return {
    cohorts,
    idealCohorts: ideal.results.length,
    firstSeed,
    failures: [...failures, ...ideal.failures],
    warned: results.filter(({ warnings }) => warnings.length > 0).length,
    meanEligible: meanOf(results.map(({ eligible }) => eligible)),
    meanPairs: meanOf(results.map(({ pairs }) => pairs)),
    meanClosestPairs: meanOf(results.map(({ closestPairs }) => closestPairs)),
    meanGap: {
      descending: meanOf(results.map(({ gap }) => gap.descending)),
      closest: meanOf(results.map(({ gap }) => gap.closest)),
    },
    rows: performanceOf(results, truth.answers),
    dating: datingPerformance(results.map(({ dated }) => dated)),
    idealDating: datingPerformance(ideal.results),
  };
}

function progress(what: string, all: number) {
  const started = performance.now();
  const done = (ready: number) => {
    if (ready % 20 !== 0) return;
    const seconds = (performance.now() - started) / 1000;
    const left = timeLeftText(ready, all, seconds);
    console.error(
      `${what}: ${ready} of ${all} cohorts, ${seconds.toFixed(0)} s${left && `, ${left}`}`,
    );
  };
  const workers = values.workers === undefined ? undefined : wholeNumber("workers", values.workers);
  return { workers, done };
}

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
