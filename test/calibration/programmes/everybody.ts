import {
  distributions,
  learningPlateau,
  limitForRunLength,
  logisticRegression,
  randomInterceptLogistic,
  riskAdjustedCusum,
  runLength,
  SeededRandom,
  standardizedRates,
} from "mitral";
import {
  factorSymmetric,
  invertFactored,
  quadraticForm,
  solveFactored,
} from "../../../lib/numerics/mod.ts";
import { type Programme, programme } from "../../programme/programmes.ts";

import { section } from "./section.ts";

const firstSeed = 910_001;
const cases = 50;
const outlier = { unit: "S4", logOdds: -0.7 };
const spread = 0.5;
const wantedRun = 500;

interface Row {
  what: string;
  stated: string;
  found: number;
  of: number;
}

const tally = new Map<string, Row>();

/** Counts one more chance of something, and whether it happened. */
function note(what: string, stated: string, happened: boolean): void {
  const row = tally.get(what) ?? { what, stated, found: 0, of: 0 };
  row.of++;
  if (happened) row.found++;
  tally.set(what, row);
}

interface Charted {
  mix: Float64Array;
  limit: number;
}

let charted: Charted | undefined;
let done = 0;
let statedPower = 0;
const runs: number[] = [];
const lateRuns: number[] = [];

/** Every estimator, in programmes of surgeons who are alike, differ, are one outlier, or learn. */
export function everybody(count: number): void {
  for (let k = 0; k < count; k++) {
    const random = new SeededRandom(firstSeed + k);
    alike(programme(random, {}), random);
    oneOutlier(programme(random, { outlier }));
    different(programme(random, { spread }));
    learning(programme(random, { base: -2, spread: 0.3, learning: { logOdds: 1.6, cases } }));
    done = k + 1;
    // what is done is kept, should the rest not be
    if (done % 10 === 0 || done === count) section("everybody", text());
  }
}

function alike(drawn: Programme, random: SeededRandom): void {
  const { units } = standardizedRates(drawn);
  for (const { pValue, rate } of units) {
    note("Surgeons alike: outside 95% (mid-p)", "5", pValue < 0.05);
    note("Surgeons alike: outside 99.8% (mid-p)", "0.2", pValue < 0.002);
    const truth = mean(drawn.chance);
    note(
      "Surgeons alike: 95% limits hold the rate",
      ">= 95",
      rate.lower <= truth && truth <= rate.upper,
    );
  }
  const { variation } = randomInterceptLogistic(drawn);
  note("Surgeons alike: variation between them, p < 0.05", "<= 5", variation.pValue < 0.05);
  const plateau = learningPlateau(drawn, { points: 20 });
  note("No learning: learning seen", "<= 5", plateau.seen);
  // charts that go on until the signal, operations drawn from the first programme's mix
  charted ??= { mix: drawn.chance, limit: limitOf(drawn.chance) };
  runs.push(runOf(charted, random, 1));
  lateRuns.push(runOf(charted, random, 2));
}

function oneOutlier(drawn: Programme): void {
  const { units } = standardizedRates(drawn);
  const own = units.find(({ unit }) => unit === outlier.unit)!;
  note("Outlier: found outside 95%", "see below", own.pValue < 0.05);
  statedPower += powerOf(drawn);
  // the rate, had all operations been the outlier's
  const rate = mean(drawn.chance.map((chance, i) => {
    const shift = drawn.unit[i] === outlier.unit ? 0 : outlier.logOdds;
    return 1 / (1 + Math.exp(-(Math.log(chance / (1 - chance)) + shift)));
  }));
  const { lower, upper } = own.rate;
  note("Outlier: 95% limits hold its rate", ">= 95", lower <= rate && rate <= upper);
  for (const { unit, pValue } of units) {
    if (unit !== outlier.unit) note("Outlier elsewhere: others outside 95%", "> 5", pValue < 0.05);
  }
}

/**
 * Chance that a test of the outlier's observed less expected finds it. The case mix is fitted to
 * all operations, the outlier's among them: what the fit tends to is found by fitting it to the
 * true chances, and observed less expected is straight in the outcomes about it. By the normal
 * approximation.
 */
function powerOf({ chance, unit, covariates: { hard, redo } }: Programme): number {
  const twice = (column: Float64Array) => Float64Array.from([...column, ...column]);
  const fit = logisticRegression({
    outcome: Float64Array.from({ length: 2 * chance.length }, (_, k) => k < chance.length ? 1 : 0),
    weight: Float64Array.from([...chance, ...chance.map((p) => 1 - p)]),
    covariates: { hard: twice(hard), redo: twice(redo) },
  });
  const fitted = fit.probabilityFor({ hard, redo });
  const isOwn = (i: number) => unit[i] === outlier.unit;
  const columns = [chance.map(() => 1), hard, redo];
  const information = new Float64Array(9);
  const shared = new Float64Array(3);
  let [variance, shift] = [0, 0];
  fitted.forEach((p, i) => {
    const v = p * (1 - p);
    columns.forEach((x, a) => {
      columns.forEach((y, b) => information[3 * a + b]! += v * x[i]! * y[i]!);
      if (isOwn(i)) shared[a]! += v * x[i]!;
    });
    if (!isOwn(i)) return;
    variance += v;
    shift += p - chance[i]!;
  });
  const factor = factorSymmetric(information, 3);
  const taken = solveFactored(factor, shared);
  const kept = variance - quadraticForm(shared, invertFactored(factor));
  // what each outcome moves observed less expected by
  const trueVariance = chance.reduce((sum, c, i) => {
    const moves = Number(isOwn(i)) - columns.reduce((all, x, a) => all + taken[a]! * x[i]!, 0);
    return sum + moves ** 2 * c * (1 - c);
  }, 0);
  const z = distributions.normalUpperQuantile(0.025);
  return distributions.normalUpper((z * Math.sqrt(kept) - shift) / Math.sqrt(trueVariance));
}

function oddsTimes(p: number, ratio: number): number {
  return ratio * p / (1 - p + ratio * p);
}

function different(drawn: Programme): void {
  const fit = randomInterceptLogistic(drawn);
  note("Spread 0.5: variation between them, p < 0.05", "power", fit.variation.pValue < 0.05);
  const { lower, upper } = fit.spreadLimits({ adjusted: true });
  note("Spread 0.5: 95% limits of the spread hold it", "95", lower <= spread && spread <= upper);
}

function learning(drawn: Programme): void {
  const { seen, cases: found } = learningPlateau(drawn, { points: 20 });
  note("Learning over 50 operations: learning seen", "power", seen);
  if (found) {
    note("Plateau: 95% limits hold the truth", "95", found.lower <= cases && cases <= found.upper);
    note("Plateau: upper limit known", "", found.upper < Infinity);
  }
}

function limitOf(expected: Float64Array): number {
  return limitForRunLength({ expected, oddsRatio: 2, mean: wantedRun }).limit;
}

/** The mean run length that is stated where the odds have doubled. */
function lateRun(): number {
  if (!charted) return NaN;
  const { mix: expected, limit } = charted;
  return runLength({ expected, oddsRatio: 2, limit, trueOddsRatio: 2 }).mean;
}

/** Operations to a signal, where the odds of an event are `trueRatio` times those expected. */
function runOf({ mix, limit }: Charted, random: SeededRandom, trueRatio: number): number {
  const length = 20_000;
  const expected = Float64Array.from({ length }, () => mix[random.integer(mix.length)]!);
  const outcome = expected.map((p) => random.bernoulli(oddsTimes(p, trueRatio)));
  const first = riskAdjustedCusum({ outcome, expected }, { oddsRatio: 2, limit }).signals[0];
  return first === undefined ? length : first + 1;
}

function mean(numbers: ArrayLike<number>): number {
  return Array.from(numbers).reduce((sum, value) => sum + value, 0) / numbers.length;
}

function text(): string {
  const rows = [...tally.values()].map(({ what, stated, found, of }) => {
    const share = found / of;
    const error = 100 * Math.sqrt(share * (1 - share) / of);
    return `| ${what} | ${stated} | ${(100 * share).toFixed(1)} (${error.toFixed(1)}) | ${of} |`;
  });
  const run = mean(runs);
  const runError = run / Math.sqrt(runs.length); // run lengths are nearly exponential
  return [
    `${done} programmes of 1000 operations by nine surgeons each, first seed ${firstSeed}. In per ` +
    "cent, with the Monte-Carlo standard error; surgeons of one programme are not quite independent.",
    "",
    "| What | Stated | Found | Of |",
    "| --- | --- | --- | --- |",
    ...rows,
    "",
    `Stated chance of finding the outlier, given the case mix and its having been fitted: ${
      (100 * statedPower / done).toFixed(1)
    }%.`,
    "",
    `Run length wanted ${wantedRun}; mean of the simulated ${run.toFixed(0)} ` +
    `(Monte-Carlo error ${runError.toFixed(0)}); with doubled odds ${
      mean(lateRuns).toFixed(0)
    }, stated ${lateRun().toFixed(0)}.`,
    "",
  ].join("\n");
}
