// Every quantity a report prints, against its known truth, in two case mixes:
//   deno run --allow-read --allow-write --allow-sys test/calibration/printed/calibrate-printed.ts \
//     --keep FOLDER [--cohorts 400] [--minutes 60] [--write | --states-again]
// What is done is kept in FOLDER, one line a cohort: a run that was stopped goes on from there, and
// --minutes stops it. --write turns what is kept into `lib/sensitivity/calibrated/performance.json`
// and `performance.md`. --states-again draws the kept cohorts again for the years in each state.
import { join } from "node:path";
import { parseArgs } from "node:util";
import { timeLeftText } from "../../../lib/words/mod.ts";
import { type TrueAnswers, trueAnswers } from "../../../lib/simulate/truth/mod.ts";
import { demoTruth } from "../../../lib/simulate/rows/mod.ts";
import { keptCohorts } from "../kept-cohorts.ts";
import { type Mix, mixes } from "./mixes.ts";
import { type PrintedCohort, printedEstimates, yearsInStates } from "./printed-estimates.ts";
import { type RatioLimits, ratioLimits } from "./ratio-limits.ts";
import { type MixPerformance, performanceOf } from "./performance.ts";
import { performanceText } from "./performance-text.ts";
import { jsonOf, rounded } from "./rows-text.ts";

const { values } = parseArgs({
  options: {
    keep: { type: "string" },
    cohorts: { type: "string", default: "400" },
    minutes: { type: "string", default: "600" },
    write: { type: "boolean", default: false },
    "states-again": { type: "boolean", default: false },
  },
});
if (!values.keep) throw new Error("--keep must name the folder in which cohorts are kept");
const folder = values.keep;
const firstSeed = 700_001;
const cohorts = Number(values.cohorts);
const until = performance.now() + 60_000 * Number(values.minutes);
Deno.mkdirSync(folder, { recursive: true });

if (values.write) write();
else if (values["states-again"]) await runStatesAgain();
else await run();

/** Cohorts in turns, so that both mixes grow alike. */
async function run(): Promise<void> {
  for (const mix of mixes) truthOf(mix);
  const done = new Map(
    mixes.map((mix) => [mix.name, new Set(keptOf(mix).map(({ seed }) => seed))]),
  );
  const began = performance.now();
  const all = mixes.length * cohorts - [...done.values()].reduce((sum, { size }) => sum + size, 0);
  let made = 0;
  for (let k = 0; k < cohorts; k++) {
    for (const mix of mixes) {
      const seed = firstSeed + k;
      if (done.get(mix.name)!.has(seed)) continue;
      if (performance.now() > until) return;
      const line = JSON.stringify(sixDigits(await printedEstimates(seed, mix)));
      Deno.writeTextFileSync(fileOf(mix), line + "\n", { append: true });
      made++;
    }
    const left = timeLeftText(made, all, (performance.now() - began) / 1000);
    if ((k + 1) % 20 === 0) console.error(`${k + 1} cohorts${left && `, ${left}`}`);
  }
}

/**
 * The kept cohorts with the years in each state worked out anew, as many as are asked for; the
 * others keep all else.
 */
async function runStatesAgain(): Promise<void> {
  const again = (mix: Mix) => fileOf(mix).replace(/\.jsonl$/, "-again.jsonl");
  const without = ({ estimates, ...cohort }: PrintedCohort): PrintedCohort => (
    {
      ...cohort,
      estimates: estimates.filter(({ quantity }) => !quantity.startsWith("years alive")),
    }
  );
  const files = mixes.map((mix) => ({
    mix,
    kept: keptOf(mix),
    done: keptCohorts<PrintedCohort>(again(mix)).length,
  }));
  for (let k = 0; k < cohorts; k++) {
    for (const { mix, kept, done } of files) {
      const cohort = kept[k];
      if (!cohort || k < done) continue;
      if (performance.now() > until) return;
      const { estimates, ...rest } = without(cohort);
      const whole = { ...rest, estimates: [...estimates, ...await yearsInStates(rest.seed, mix)] };
      const line = JSON.stringify(sixDigits(whole));
      Deno.writeTextFileSync(again(mix), line + "\n", { append: true });
    }
  }
  for (const mix of mixes) {
    const rest = keptOf(mix).slice(cohorts).map((one) => JSON.stringify(without(one)) + "\n");
    Deno.writeTextFileSync(again(mix), rest.join(""), { append: true });
    Deno.renameSync(again(mix), fileOf(mix));
  }
}

function write(): void {
  const found = mixes.map((mix): MixPerformance =>
    performanceOf(mix, { cohorts: keptOf(mix), firstSeed, truth: truthOf(mix) })
  );
  const at = (path: string) => new URL(path, import.meta.url);
  Deno.writeTextFileSync(
    at("../../../lib/sensitivity/calibrated/performance.json"),
    jsonOf(found),
  );
  Deno.writeTextFileSync(at("performance.md"), performanceText(found));
}

function fileOf({ name }: Mix): string {
  return join(folder, `${name}.jsonl`);
}

function keptOf(mix: Mix): PrintedCohort[] {
  return keptCohorts(fileOf(mix));
}

/** The true answers of a mix, worked out once. */
function truthOf({ name, parameters }: Mix): { answers: TrueAnswers; ratios: RatioLimits } {
  const path = join(folder, `${name}-truth.json`);
  try {
    return JSON.parse(Deno.readTextFileSync(path));
  } catch (error) {
    if (!(error instanceof Deno.errors.NotFound)) throw error;
  }
  const truth = {
    answers: trueAnswers({ ...demoTruth, parameters }),
    ratios: ratioLimits(parameters, { seed: 5, n: 200_000 }),
  };
  Deno.writeTextFileSync(path, JSON.stringify(truth));
  return truth;
}

function sixDigits<T>(value: T): T {
  return JSON.parse(JSON.stringify(
    value,
    (_, x: unknown) => typeof x === "number" ? rounded(x, 6) : x,
  ));
}
