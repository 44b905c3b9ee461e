// Logistic regression on 1,000,000 rows and 10 covariates, seeded; where Rscript is installed, the
// reference (stats::glm with the same kind of data, generated on its side) in the same run.
//
//   deno run --allow-run=Rscript test/bench/logistic.bench.ts
import { logisticRegression, SeededRandom } from "mitral";

const n = 1_000_000;
const p = 10;
const truth = Array.from({ length: p }, (_, j) => (j - 4.5) / 10);

function sample(): { outcome: Uint8Array; covariates: Record<string, Float64Array> } {
  const random = new SeededRandom(1);
  const columns = truth.map(() => new Float64Array(n));
  const outcome = new Uint8Array(n);
  for (let i = 0; i < n; i++) {
    let eta = -0.5;
    for (let j = 0; j < p; j++) {
      const x = random.normal();
      columns[j]![i] = x;
      eta += truth[j]! * x;
    }
    outcome[i] = random.bernoulli(1 / (1 + Math.exp(-eta)));
  }
  return { outcome, covariates: Object.fromEntries(columns.map((c, j) => [`x${j}`, c])) };
}

const data = sample();
const seconds: number[] = [];
for (let run = 0; run < 3; run++) {
  const start = performance.now();
  const fit = logisticRegression(data);
  seconds.push((performance.now() - start) / 1000);
  if (!fit.converged) throw new Error("no convergence");
  for (let j = 0; j < p; j++) {
    if (!(Math.abs(fit.terms[j + 1]!.coefficient - truth[j]!) < 0.02)) {
      throw new Error(`coefficient ${j} is off: ${fit.terms[j + 1]!.coefficient}`);
    }
  }
}
const rows: Record<string, string | number>[] = [
  { program: "logisticRegression", n, p, seconds: Math.min(...seconds).toFixed(2) },
];

const script = `
set.seed(1); n <- ${n}; p <- ${p}; x <- matrix(rnorm(n * p), n); b <- ((1:p) - 5.5) / 10
y <- rbinom(n, 1, plogis(-0.5 + x %*% b)); d <- data.frame(y, x)
cat(system.time(glm(y ~ ., binomial, d))[["elapsed"]])`;
try {
  const run = await new Deno.Command("Rscript", { args: ["-e", script] }).output();
  if (!run.success) throw new Error(new TextDecoder().decode(run.stderr));
  const reference = Number(new TextDecoder().decode(run.stdout));
  rows.push({ program: "reference (R stats::glm)", n, p, seconds: reference.toFixed(2) });
} catch (error) {
  console.log(`reference not run: ${error instanceof Error ? error.message : error}`);
}
console.table(rows);
