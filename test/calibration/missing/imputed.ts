// The plan's answers in the demonstration's own cohorts with missing covariates imputed: everything
// made in each completed set and pooled, beside the same under the mean weights, and beside mean
// and mark.
//
//   deno run --allow-read --allow-write --allow-sys
//   test/calibration/missing/imputed.ts --cohorts 120
//
// Writes imputed-results.md beside this file, every 20 cohorts.
import { parseArgs } from "node:util";
import * as mitral from "mitral";
import { simulateCohort } from "../../../lib/simulate/rows/simulate-cohort.ts";
import type { TruthFile } from "../../../lib/simulate/truth/truth-file.ts";
import { cohortSize } from "../estimates.ts";
import { readBack } from "../read-back.ts";

const { values: given } = parseArgs({
  options: { cohorts: { type: "string", default: "120" }, sets: { type: "string", default: "10" } },
});
const cohorts = Number(given.cohorts);
const sets = Number(given.sets);
const firstSeed = 710_001;
const horizon = 5;
const truth: TruthFile = JSON.parse(
  Deno.readTextFileSync(new URL("../../../data-demo/truth.json", import.meta.url)),
);
const endpoints = {
  death: "survival",
  "valve-failure": "valveFailure",
  recurrence: "recurrenceFound",
  reoperation: "reoperation",
} as const;
type Endpoint = keyof typeof endpoints;

interface Line {
  truth: number;
  estimates: number[];
  errors: number[];
  held: number;
}
const lines = new Map<string, Line>();
const keep = (
  endpoint: Endpoint,
  way: string,
  { estimate, standardError, lower, upper }: mitral.Interval,
) => {
  const key = `${endpoint} | ${way}`;
  const line = lines.get(key) ??
    { truth: trueDifference(endpoint), estimates: [], errors: [], held: 0 };
  lines.set(key, line);
  line.estimates.push(estimate);
  line.errors.push(standardError);
  if (lower <= line.truth && line.truth <= upper) line.held++;
};

function trueDifference(endpoint: Endpoint): number {
  const { populations, horizons } = truth.answers;
  const answers = populations.overlap[endpoints[endpoint]];
  return answers.difference[horizons.indexOf(horizon)]!.estimate;
}

function differenceIn(data: mitral.DesignedFollowUp, endpoint: Endpoint): mitral.Interval {
  const estimate = (own: mitral.DesignedFollowUp) =>
    endpoint === "death"
      ? mitral.survivalDifference(own, { times: [horizon] })
      : mitral.incidenceDifference(own, { cause: 1, times: [horizon] });
  return mitral.pooledContrasts<mitral.Contrast>(data, estimate)[0]!.difference;
}

const started = performance.now();
for (let k = 0; k < cohorts; k++) {
  const analysis = await readBack(simulateCohort({ seed: firstSeed + k, n: cohortSize }));
  const { study } = analysis;
  const completed = await mitral.completedSets(analysis, study, {
    method: "impute",
    sets,
    iterations: 5,
    workers: 0,
  });
  const whole = mitral.withCompletions(analysis, completed);
  const propensity = mitral.studyPropensity(whole, study);
  const imputed = mitral.weightedSample(whole, study, { propensity });
  const pairs = mitral.matchedSample(whole, study, { propensity });
  const { weight: marked } = mitral.weightedSample(analysis, study);
  for (const endpoint of Object.keys(endpoints) as Endpoint[]) {
    const followUp = mitral.followUpOf(analysis, endpoint);
    const of = (weights: mitral.SampleWeights) => mitral.underWeights(followUp, weights);
    keep(endpoint, "in each set, pooled", differenceIn(of(imputed), endpoint));
    keep(endpoint, "mean weights", differenceIn(of(imputed.weight), endpoint));
    keep(endpoint, "mean and mark", differenceIn(of(marked), endpoint));
    const paired = mitral.pairedFollowUp(followUp, pairs);
    if (paired) keep(endpoint, "pairs in each set, pooled", differenceIn(paired, endpoint));
  }
  if ((k + 1) % 20 === 0 || k + 1 === cohorts) {
    const seconds = ((performance.now() - started) / 1000).toFixed(0);
    console.error(`${k + 1} cohorts, ${seconds} s`);
    write(k + 1);
  }
}

function write(done: number): void {
  const per100 = (value: number) => (100 * value).toFixed(2);
  const rows = Array.from(lines, ([key, { truth, estimates, errors, held }]) => {
    const mean = estimates.reduce((sum, one) => sum + one, 0) / done;
    const spread = Math.sqrt(
      estimates.reduce((sum, one) => sum + (one - mean) ** 2, 0) / (done - 1),
    );
    const error = errors.reduce((sum, one) => sum + one, 0) / done;
    return `| ${key} | ${per100(truth)} | ${per100(mean - truth)} (${
      per100(spread / Math.sqrt(done))
    }) | ${per100(spread)} | ${per100(error)} | ${(100 * held / done).toFixed(1)} |`;
  });
  const text = `# The plan's answers with missing covariates imputed, against the truth

${done} cohorts of ${cohortSize} from seed ${firstSeed}, as the demonstration's; ${sets} completed sets, 5
iterations. Differences at ${horizon} years, per 100; true differences are of everybody in the overlap, whom
pairs do not stand for. In brackets the Monte-Carlo error of the bias; that of a share of 95 % is
${
    (100 * Math.sqrt(0.95 * 0.05 / done)).toFixed(1)
  }. Made by \`test/calibration/missing/imputed.ts\`.

| endpoint | way | true difference | bias (error) | spread of estimates | mean standard error | limits hold the truth, % |
| --- | --- | --- | --- | --- | --- | --- |
${rows.join("\n")}
`;
  Deno.writeTextFileSync(new URL("imputed-results.md", import.meta.url), text);
}
