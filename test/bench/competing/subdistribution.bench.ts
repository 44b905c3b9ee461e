// Subdistribution regression, against the reference library on the same rows where it can do them.
// Run:  deno run -A test/bench/competing/subdistribution.bench.ts [rows]
import { subdistributionRegression } from "../../../lib/competing/subdistribution/subdistribution-regression.ts";
import { SeededRandom } from "../../../lib/numerics/replicates/random.ts";
import { agreement, bestOf, reference, writeColumns } from "../with-oracle.ts";

const p = 5;
const REFERENCE_UP_TO = 5000; // beyond it the reference takes minutes, then all memory
const sizes = Deno.args.length ? Deno.args.map(Number) : [1000, 5000, 100_000, 1_000_000];
const table: Record<string, string | number>[] = [];
for (const n of sizes) {
  const random = new SeededRandom(9);
  const time = new Float64Array(n);
  const event = new Float64Array(n);
  const covariates = Array.from({ length: p }, () => new Float64Array(n));
  for (let i = 0; i < n; i++) {
    let eta = 0;
    covariates.forEach((column, j) => {
      column[i] = random.normal();
      eta += (j - 2) / 5 * column[i]!;
    });
    const first = random.exponential(0.05 * Math.exp(eta));
    const second = random.exponential(0.08);
    const censoring = 14 * random.uniform();
    time[i] = Math.min(first, second, censoring);
    event[i] = time[i] === censoring ? 0 : time[i] === first ? 1 : 2;
  }
  const data = {
    time,
    event,
    covariates: Object.fromEntries(covariates.map((column, j) => [`x${j}`, column])),
  };
  const start = memory();
  const fit = subdistributionRegression(data, { cause: 1 });
  const held = memory() - start;
  const input = n * 8 * (2 + p);
  const ours = bestOf(n > 100_000 ? 1 : 5, () => subdistributionRegression(data, { cause: 1 }));
  let theirs: { seconds: number[]; printed: number[] } = { seconds: [], printed: [] };
  if (n <= REFERENCE_UP_TO) {
    const file = writeColumns({ time, event, ...data.covariates });
    theirs = reference(file, [
      "suppressMessages(library(cmprsk))",
      "f <- crr(d$time, d$event, as.matrix(d[, 3:7]), gtol = 1e-10)",
      "cat(sprintf('%.12f %.12f', f$coef[1], sqrt(f$var[1, 1])))",
    ]);
    Deno.removeSync(file);
  }
  table.push({
    rows: n,
    "s": ours.seconds.toFixed(4),
    "reference s": theirs.seconds[0] ?? "not run",
    "times faster": theirs.seconds[0] ? Math.round(theirs.seconds[0] / ours.seconds) : "-",
    "memory / input": (held / input).toFixed(1),
    iterations: fit.iterations,
    "coefficient agrees": agreement(fit.terms[0]!.coefficient, theirs.printed[0], 1e-6),
    "standard error agrees": agreement(fit.terms[0]!.robustStandardError, theirs.printed[1], 1e-6),
  });
}
console.table(table);

/** Bytes in use for arrays and objects; what is garbage by then counts too. */
function memory(): number {
  const { heapUsed, external } = Deno.memoryUsage();
  return heapUsed + external;
}
