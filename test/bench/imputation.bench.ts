// Imputation of 100,000 x 40 with 20 % missing, 5 iterations, against one fit of a propensity score
// on the same columns (target: at most ten fits a column and iteration), and 20 sets of the demo
// (target: at most 10 s on two cores).
//
//   deno run --allow-read --allow-env --allow-sys test/bench/imputation.bench.ts
import process from "node:process";
import {
  completedSets,
  imputeColumns,
  logisticRegression,
  openStudy,
  readCohort,
  SeededRandom,
  selectEligible,
} from "mitral";

const n = 100_000;
const width = 40;
const iterations = 5;
const random = new SeededRandom(1);
const common = Float64Array.from({ length: n }, () => random.normal());

function column(j: number) {
  const slope = 0.3 + (j % 5) / 10;
  const own = common.map((c) => slope * c + Math.sqrt(1 - slope * slope) * random.normal());
  const kind = (["number", "number", "number", "binary", "ordered", "number", "category"] as const)[
    j % 7
  ]!;
  const full = kind === "number"
    ? own
    : own.map((x) => kind === "binary" ? Number(x > 0.5) : x < -0.7 ? 0 : x < 0.6 ? 1 : 2);
  const values = full.map((x) => random.uniform() < 0.2 ? NaN : x);
  return { name: `c${j}`, kind, values };
}

const columns = Array.from({ length: width }, (_, j) => column(j));
const treated = common.map((c) => random.bernoulli(1 / (1 + Math.exp(-0.5 * c))));
const started = performance.now();
const imputed = await imputeColumns({
  columns: [...columns, { name: "treated", kind: "binary", values: treated }],
}, { sets: 1, seed: 1, iterations, workers: 0 });
const seconds = (performance.now() - started) / 1000;
const covariates = Object.fromEntries(
  columns.map(({ name }) => [name, imputed.completed(name, 0)]),
);
let fit = Infinity;
for (let run = 0; run < 3; run++) {
  const from = performance.now();
  if (!logisticRegression({ outcome: treated, covariates }).converged) {
    throw new Error("no convergence");
  }
  fit = Math.min(fit, (performance.now() - from) / 1000);
}
const each = seconds / (iterations * width);
console.table([{
  rows: n,
  columns: width,
  seconds: seconds.toFixed(1),
  "seconds a column and iteration": each.toFixed(3),
  "one score fit": fit.toFixed(3),
  ratio: (each / fit).toFixed(2),
}]);

const study = await openStudy();
const analysis = selectEligible(await readCohort(study), study);
const begun = performance.now();
const before = process.cpuUsage();
const completed = await completedSets(analysis, study, { method: "impute", sets: 20 });
// of all threads, whatever else the machine does
const { user, system } = process.cpuUsage(before);
console.table([{
  "sets of the demo": completed.sets,
  rows: analysis.n,
  cores: navigator.hardwareConcurrency,
  seconds: ((performance.now() - begun) / 1000).toFixed(1),
  processor: ((user + system) / 1e6).toFixed(1),
}]);
