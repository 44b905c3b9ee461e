// Imputation within overlap weighting against a known truth, values missing at random given the
// outcome: bias and coverage at 10, 30 and 50 % missing, beside complete data, mean and mark, and
// complete patients only.
//
//   deno run --allow-read --allow-write --allow-sys
//   test/calibration/missing/missing.ts --cohorts 400
//
// Writes missing-results.md beside this file.
import { parseArgs } from "node:util";
import * as mitral from "mitral";

const { values: given } = parseArgs({
  options: { cohorts: { type: "string", default: "400" }, sets: { type: "string", default: "10" } },
});
const cohorts = Number(given.cohorts);
const sets = Number(given.sets);
const n = 800;
const horizon = 5;
const shares = [0.1, 0.3, 0.5];
const methods = ["no value missing", "imputed", "mean and mark", "complete patients only"] as const;
type Method = (typeof methods)[number];

interface Sample {
  x: Float64Array;
  y: Float64Array;
  ill: Float64Array;
  treated: Uint8Array;
  time: Float64Array;
  event: Uint8Array;
}

/** Two numbers and one yes/no confounder; exponential times, censoring even between 4 and 12. */
function sampleOf(random: mitral.SeededRandom, size: number): Sample {
  const sample: Sample = {
    x: new Float64Array(size),
    y: new Float64Array(size),
    ill: new Float64Array(size),
    treated: new Uint8Array(size),
    time: new Float64Array(size),
    event: new Uint8Array(size),
  };
  for (let i = 0; i < size; i++) {
    const x = sample.x[i] = random.normal();
    const y = sample.y[i] = 0.5 * x + Math.sqrt(0.75) * random.normal();
    const ill = sample.ill[i] = random.bernoulli(logistic(-0.5 + 0.6 * y));
    const treated = sample.treated[i] = random.bernoulli(score(x, y, ill));
    const died = random.exponential(hazard(x, y, ill, treated));
    const end = 4 + 8 * random.uniform();
    sample.time[i] = Math.min(died, end);
    sample.event[i] = died <= end ? 1 : 0;
  }
  return sample;
}

const logistic = (eta: number) => 1 / (1 + Math.exp(-eta));
const score = (x: number, y: number, ill: number) => logistic(0.3 - 0.4 * x - 0.8 * y - 0.7 * ill);
const hazard = (x: number, y: number, ill: number, treated: number) =>
  0.07 * Math.exp(0.3 * x + 0.5 * y + 0.6 * ill - 0.3 * treated);

/** The difference in survival in the overlap population, from the truth of very many patients. */
function truth(): number {
  const random = new mitral.SeededRandom(99);
  let weight = 0;
  let sum = 0;
  for (let k = 0; k < 2_000_000; k++) {
    const x = random.normal();
    const y = 0.5 * x + Math.sqrt(0.75) * random.normal();
    const ill = random.bernoulli(logistic(-0.5 + 0.6 * y));
    const e = score(x, y, ill);
    const alive = (treated: number) => Math.exp(-hazard(x, y, ill, treated) * horizon);
    weight += e * (1 - e);
    sum += e * (1 - e) * (alive(1) - alive(0));
  }
  return sum / weight;
}

/** Values of y and of ill are lost more often in those who died, and with x. */
function lose(sample: Sample, share: number, random: mitral.SeededRandom) {
  const chance = (i: number) => 0.9 * sample.event[i]! + 0.5 * sample.x[i]!;
  // the constant that makes so many missing on average, by bisection
  let low = -10;
  let high = 10;
  for (let k = 0; k < 50; k++) {
    const middle = (low + high) / 2;
    let mean = 0;
    for (let i = 0; i < n; i++) mean += logistic(middle + chance(i)) / n;
    if (mean < share) low = middle;
    else high = middle;
  }
  const lost = (column: Float64Array) =>
    column.map((value, i) => random.uniform() < logistic(low + chance(i)) ? NaN : value);
  return { y: lost(sample.y), ill: lost(sample.ill) };
}

function estimateWith(
  { time, event, treated }: Pick<Sample, "time" | "event" | "treated">,
  covariates: Record<string, Float64Array>,
): mitral.SurvivalContrast {
  const { score } = mitral.propensityScore({ treated, covariates });
  const weight = mitral.balancingWeights({ treated, score }, { estimand: "overlap" });
  const data = { time, event, group: treated, weight };
  return mitral.survivalDifference(data, { times: [horizon] })[0]!;
}

async function imputed(sample: Sample, lost: { y: Float64Array; ill: Float64Array }, seed: number) {
  const { x, treated, time, event } = sample;
  const outcome = mitral.outcomeColumns("death", { time, event }, n, { group: "treated" });
  const completed = await mitral.imputeColumns({
    columns: [
      { name: "x", kind: "number", values: x },
      { name: "y", kind: "number", values: lost.y },
      { name: "ill", kind: "binary", values: lost.ill },
      { name: "treated", kind: "binary", values: treated },
      ...outcome.columns,
    ],
    derived: outcome.derived,
  }, { sets, seed, iterations: 5, workers: 0 });
  const each = completed.sets.map((_, k) =>
    estimateWith(sample, {
      x,
      y: completed.completed("y", k),
      ill: completed.completed("ill", k),
    })
  );
  return mitral.poolContrast(each, { units: n });
}

function marked(sample: Sample, lost: { y: Float64Array; ill: Float64Array }) {
  const covariates: Record<string, Float64Array> = { x: sample.x };
  for (const [name, column] of Object.entries(lost)) {
    const known = column.filter((value) => !Number.isNaN(value));
    const mean = known.reduce((sum, value) => sum + value, 0) / known.length;
    covariates[name] = column.map((value) => Number.isNaN(value) ? mean : value);
    covariates[`${name} missing`] = column.map((value) => Number.isNaN(value) ? 1 : 0);
  }
  return estimateWith(sample, covariates);
}

function complete(sample: Sample, lost: { y: Float64Array; ill: Float64Array }) {
  const rows = Array.from(lost.y, (_, i) => i)
    .filter((i) => !Number.isNaN(lost.y[i]) && !Number.isNaN(lost.ill[i]));
  const pick = (column: ArrayLike<number>) => Float64Array.from(rows, (i) => column[i]!);
  const { time, event, treated } = sample;
  const own = {
    time: pick(time),
    event: Uint8Array.from(pick(event)),
    treated: Uint8Array.from(pick(treated)),
  };
  return estimateWith(own, { x: pick(sample.x), y: pick(lost.y), ill: pick(lost.ill) });
}

const real = truth();
const found = new Map<string, { estimate: number; standardError: number; held: boolean }[]>();
const keep = (share: number, method: Method, { difference }: mitral.SurvivalContrast) => {
  const { estimate, standardError, lower, upper } = difference;
  const key = `${share} ${method}`;
  if (!found.has(key)) found.set(key, []);
  found.get(key)!.push({ estimate, standardError, held: lower <= real && real <= upper });
};
const started = performance.now();
for (let cohort = 0; cohort < cohorts; cohort++) {
  const random = new mitral.SeededRandom(500_001 + cohort);
  const sample = sampleOf(random, n);
  const { x, y, ill } = sample;
  const whole = estimateWith(sample, { x, y, ill });
  for (const share of shares) {
    const lost = lose(sample, share, random);
    keep(share, "no value missing", whole);
    keep(share, "imputed", await imputed(sample, lost, cohort));
    keep(share, "mean and mark", marked(sample, lost));
    keep(share, "complete patients only", complete(sample, lost));
  }
  if ((cohort + 1) % 50 === 0) {
    console.error(`${cohort + 1} cohorts, ${((performance.now() - started) / 1000).toFixed(0)} s`);
  }
}

const per100 = (value: number) => (100 * value).toFixed(2);
const rows = shares.flatMap((share) =>
  methods.map((method) => {
    const own = found.get(`${share} ${method}`)!;
    const mean = own.reduce((sum, { estimate }) => sum + estimate, 0) / own.length;
    const spread = Math.sqrt(
      own.reduce((sum, { estimate }) => sum + (estimate - mean) ** 2, 0) / (own.length - 1),
    );
    const error = own.reduce((sum, { standardError }) => sum + standardError, 0) / own.length;
    const held = own.filter((one) => one.held).length / own.length;
    // beside the same cohort with nothing missing: what the missing values alone did
    const whole = found.get(`${share} no value missing`)!;
    const moved = own.map(({ estimate }, k) => estimate - whole[k]!.estimate);
    const left = moved.reduce((sum, value) => sum + value, 0) / moved.length;
    const leftError = Math.sqrt(
      moved.reduce((sum, value) => sum + (value - left) ** 2, 0) / (moved.length - 1) /
        moved.length,
    );
    return `| ${100 * share} % | ${method} | ${per100(mean - real)} (${
      per100(spread / Math.sqrt(own.length))
    }) | ${per100(left)} (${per100(leftError)}) | ${per100(spread)} | ${per100(error)} | ${
      (100 * held).toFixed(1)
    } |`;
  })
);
const text = `# Imputation within overlap weighting, against a known truth

${cohorts} cohorts of ${n} from seed 500001, ${sets} sets, 5 iterations. Values of a number and of a
yes/no confounder are missing at random given death and another covariate. The true difference in
survival at ${horizon} years in the overlap is ${
  per100(real)
} per 100. Numbers are per 100 patients; in
brackets the Monte-Carlo error of the bias. Made by \`test/calibration/missing/missing.ts\`.

| missing in each | method | bias (error) | beside none missing (error) | spread of estimates | mean standard error | limits hold the truth, % |
| --- | --- | --- | --- | --- | --- | --- |
${rows.join("\n")}
`;
Deno.writeTextFileSync(new URL("missing-results.md", import.meta.url), text);
console.log(text);
