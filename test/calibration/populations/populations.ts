// The answers by population and by technique against the truth of the synthetic cohort: how often
// the limits include it, how often a technique that changes nothing is declared to, and how often
// there is no number.
//
//   deno run --allow-read --allow-write --allow-sys test/calibration/populations/populations.ts
//   --of populations deno run --allow-read --allow-write --allow-sys
//   test/calibration/populations/populations.ts --of techniques
//
// Writes populations-results.md and .json, or techniques-results.md and .json, beside this file,
// every 50 cohorts.
import { parseArgs } from "node:util";
import { armAnswers, populationAnswers } from "../../../lib/comparisons/mod.ts";
import { simulateCohort } from "../../../lib/simulate/rows/simulate-cohort.ts";
import type { TruthFile } from "../../../lib/simulate/truth/truth-file.ts";
import { cohortSize } from "../estimates.ts";
import { readBack } from "../read-back.ts";

const { values } = parseArgs({
  options: {
    cohorts: { type: "string", default: "400" },
    of: { type: "string", default: "populations" },
  },
});
const of = values.of === "techniques" ? "techniques" : "populations";
const firstSeed = 700_001;
const at = (path: string) => new URL(path, import.meta.url);
const truth: TruthFile = JSON.parse(Deno.readTextFileSync(at("../../../data-demo/truth.json")));
const { answers } = truth;

const populations = {
  everyone: "overlap",
  degenerative: "degenerativeOverlap",
  secondary: "secondaryOverlap",
  "secondary-tethered": "secondaryTetheredOrLargeOverlap",
  "low-ejection-fraction": "lowEjectionFractionOverlap",
} as const;
const quantities = {
  death: "survival",
  "valve-failure": "valveFailure",
  recurrence: "recurrenceFound",
  "recurrence-severe": "severeRecurrenceFound",
  reoperation: "reoperation",
} as const;
type Endpoint = keyof typeof quantities;

/** What one line of the results was made of. */
interface Line {
  about: string;
  what: string;
  truth: number;
  /** Cohorts without a number. */
  none: number;
  estimates: number[];
  errors: number[];
  covered: number;
  /** p below one minus the confidence level. */
  declared: number;
  /** Limits of all pairs together. */
  together: number;
}

const lines = new Map<string, Line>();
const failures: { seed: number; error: string }[] = [];
const started = performance.now();

function lineOf(about: string, what: string, truth: number): Line {
  const key = `${about} | ${what}`;
  if (!lines.has(key)) {
    lines.set(key, {
      ...{ about, what, truth, none: 0, covered: 0, declared: 0, together: 0 },
      estimates: [],
      errors: [],
    });
  }
  return lines.get(key)!;
}

interface Found {
  estimate: number;
  standardError: number;
  lower: number;
  upper: number;
  pValue: number;
  together?: { lower: number; upper: number };
}

function add(line: Line, found: Found | null, level: number): void {
  if (!found) {
    line.none++;
    return;
  }
  const within = ({ lower, upper }: { lower: number; upper: number }) =>
    lower <= line.truth && line.truth <= upper ? 1 : 0;
  line.estimates.push(found.estimate);
  line.errors.push(found.standardError);
  line.covered += within(found);
  line.together += within(found.together ?? found);
  if (found.pValue < level) line.declared++;
}

async function oneCohort(seed: number): Promise<void> {
  const analysis = await readBack(simulateCohort({ seed, n: cohortSize }));
  const { study } = analysis;
  const place = answers.horizons.indexOf(study.mainHorizon);
  const level = 1 - study.confidence;
  const answered = of === "populations" ? populationAnswers(analysis).populations : [];
  for (const { population, endpoints } of answered) {
    const name = populations[population.id as keyof typeof populations];
    for (const { endpoint, main } of endpoints) {
      const quantity = quantities[endpoint as Endpoint];
      const value = answers.populations[name][quantity].difference[place]!.estimate;
      add(lineOf(population.label, endpoint, value), main && main.difference, level);
    }
  }
  for (const comparison of of === "techniques" ? study.comparisons : []) {
    const true_ = answers.comparisons[comparison.id as keyof typeof answers.comparisons];
    const valueOf = (arm: string, endpoint: Endpoint) => {
      const key = quantities[endpoint];
      const values = (true_.arms as Record<string, Record<string, { estimate: number }[]>>)[arm];
      return values?.[key]?.[place]?.estimate;
    };
    const { endpoints } = armAnswers(analysis, comparison);
    for (const { endpoint, contrasts } of endpoints) {
      const { arms } = comparison;
      for (const [i, one] of arms.entries()) {
        for (const other of arms.slice(i + 1)) {
          const first = valueOf(one.id, endpoint as Endpoint);
          const second = valueOf(other.id, endpoint as Endpoint);
          if (first === undefined || second === undefined) continue;
          const pair = contrasts.find((found) =>
            found.first === one.id && found.second === other.id
          );
          const line = lineOf(`${one.label} minus ${other.label}`, endpoint, first - second);
          add(line, pair ? { ...pair.difference, together: pair.together } : null, level);
        }
      }
    }
  }
}

const total = Number(values.cohorts);
for (let k = 0; k < total; k++) {
  const seed = firstSeed + k;
  try {
    await oneCohort(seed);
  } catch (error) {
    failures.push({ seed, error: error instanceof Error ? error.message : String(error) });
  }
  if ((k + 1) % 50 === 0 || k + 1 === total) write(k + 1);
}

function write(cohorts: number): void {
  const rows = [...lines.values()].map((line) => {
    const { about, what, truth, none, estimates, errors, covered, declared, together } = line;
    const count = estimates.length;
    const mean = (list: number[]) => list.reduce((sum, x) => sum + x, 0) / list.length;
    const centre = mean(estimates);
    const spread = Math.sqrt(
      estimates.reduce((sum, x) => sum + (x - centre) ** 2, 0) / (count - 1),
    );
    const digits = (value: number) => Number.isFinite(value) ? Number(value.toPrecision(4)) : null;
    return {
      about,
      what,
      shown: count,
      none,
      truth: digits(truth),
      bias: digits(centre - truth),
      spread: digits(spread),
      standardError: digits(mean(errors)),
      coverage: digits(covered / count),
      together: digits(together / count),
      declared: digits(declared / count),
    };
  });
  const result = { cohorts, firstSeed, failures, rows };
  Deno.writeTextFileSync(
    at(`${of}-results.json`),
    JSON.stringify(result, null, 1) + "\n",
  );
  const per = (value: number | null) => value === null ? "–" : (100 * value).toFixed(1);
  const table = rows.map((row) =>
    `| ${row.about} | ${row.what} | ${row.shown} | ${per(row.truth)} | ${per(row.bias)} | ${
      per(row.spread)
    } | ${per(row.standardError)} | ${per(row.coverage)} | ${per(row.together)} | ${
      per(row.declared)
    } |`
  );
  const failed = failures.map(({ seed, error }) => `- ${seed}: ${error}`);
  const text = [
    `# Answers by ${of === "populations" ? "population" : "technique"}, against the truth`,
    "",
    `${cohorts} simulated cohorts of ${cohortSize} patients, seeds from ${firstSeed}; the plan, the ` +
    "populations and the techniques of the demonstration; differences at the plan's main horizon, per " +
    `100. Cohorts that stopped: ${failures.length}. Limits claim 95 %; with 400 cohorts a coverage is ` +
    "known to about 2 points either way, with fewer shown to less.",
    "",
    "Shown: cohorts in which there was enough for a number; where few are shown, those are chosen by " +
    "chance, and the rest of the line with them. Declared: p below 0.05. Access and ablation change " +
    "nothing in truth, so their last column should be about 5.",
    "",
    "| Who or which | Outcome | Shown | Truth | Bias | Spread of estimates | Mean standard error | " +
    "Limits include it, % | All pairs together, % | Declared, % |",
    "| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |",
    ...table,
    ...(failed.length > 0 ? ["", "Stopped:", "", ...failed] : []),
    "",
  ].join("\n");
  Deno.writeTextFileSync(at(`${of}-results.md`), text);
  const minutes = ((performance.now() - started) / 60_000).toFixed(1);
  console.error(`${cohorts} cohorts, ${minutes} min`);
}
