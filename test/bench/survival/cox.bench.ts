// Cox regression from 1,000 to 1,000,000 rows with 10 covariates: the fit, its concordance, robust
// clusters of 2 and the test of proportional hazards, against the reference library on the very
// same rows in the same run. Run: deno run -A test/bench/survival/cox.bench.ts [rows ...]
//
// The reference library's fit includes the concordance, so the fair ratio is "fit + concordance".
// It is not asked for clusters beyond 10,000 rows (65 s at 100,000) unless CLUSTERS=all is set, nor
// for anything at 1,000,000.
import { SeededRandom } from "../../../lib/numerics/replicates/random.ts";
import { coxRegression } from "../../../lib/survival/cox/model/cox-regression.ts";
import { proportionalHazardsTest } from "../../../lib/survival/cox/checks/proportional-hazards.ts";
import { agreement, bestOf, reference, writeColumns } from "../with-oracle.ts";

const p = 10;
const names = Array.from({ length: p }, (_, j) => `x${j}`);
if (Deno.args[0] === "memory") {
  memory(Number(Deno.args[1]));
  Deno.exit();
}
const sizes = Deno.args.length ? Deno.args.map(Number) : [1000, 10_000, 100_000, 1_000_000];

/** Half of the rows have an event; times are rounded to days over some ten years. */
function sample(n: number) {
  const random = new SeededRandom(1);
  const covariates = Object.fromEntries(
    names.map((name) => [name, Float64Array.from({ length: n }, () => random.normal())]),
  );
  const time = new Float64Array(n);
  const event = new Int32Array(n);
  for (let i = 0; i < n; i++) {
    let eta = 0;
    for (let j = 0; j < p; j++) eta += covariates[names[j]!]![i]! * 0.1 * (j % 3 - 1);
    const died = random.exponential(0.2 * Math.exp(eta));
    const left = Math.min(10, random.exponential(0.15));
    time[i] = Math.ceil(Math.min(died, left) * 365.25) / 365.25;
    event[i] = +(died <= left);
  }
  return { time, event, covariates, cluster: Int32Array.from(time, (_, i) => i >> 1) };
}

const speed: Record<string, string | number>[] = [];
const checks: Record<string, string | number>[] = [];
const fitSeconds: number[] = [];
for (const n of sizes) {
  const { cluster, ...data } = sample(n);
  const runs = n >= 1_000_000 ? 3 : 7;
  const plain = bestOf(runs, () => coxRegression(data));
  const whole = bestOf(runs, () => {
    const fit = coxRegression(data);
    return { fit, concordance: fit.concordance };
  });
  const robust = bestOf(runs, () => coxRegression({ ...data, cluster }));
  const trend = bestOf(runs, () => proportionalHazardsTest(plain.value));
  fitSeconds.push(plain.seconds);

  const withClusters = n <= 10_000 || (n < 1_000_000 && Deno.env.get("CLUSTERS") === "all");
  let theirs: { seconds: number[]; printed: number[] } = { seconds: [], printed: [] };
  if (n < 1_000_000) {
    const file = writeColumns({ time: data.time, event: data.event, cluster, ...data.covariates });
    const formula = `Surv(time, event) ~ ${names.join(" + ")}`;
    theirs = reference(file, [
      "suppressMessages(library(survival))",
      `f <- coxph(${formula}, d)`,
      `z <- cox.zph(f, "km", terms = FALSE)`,
      ...(withClusters ? [`r <- coxph(${formula}, d, cluster = cluster)`] : []),
      `k <- coxph.control(eps = 1e-12, toler.chol = 1e-13); g <- coxph(${formula}, d, control = k); ` +
      `z <- cox.zph(g, "km", terms = FALSE)$table; cat(sprintf("%.14g", ` +
      `c(coef(g)[1], g$loglik[2], g$concordance["concordance"], z[1, 1]` +
      `${withClusters ? ", sqrt(r$var[1, 1])" : ""})))`,
    ]);
    Deno.removeSync(file);
  }
  const [fitTime, trendTime, robustTime] = theirs.seconds;
  const times = (their: number | undefined, our: number) =>
    their === undefined ? "-" : (their / our).toFixed(1);
  speed.push({
    rows: n,
    "fit s": plain.seconds.toFixed(4),
    "fit + concordance s": whole.seconds.toFixed(4),
    "reference s": fitTime ?? "-",
    "x faster": times(fitTime, whole.seconds),
    "clusters s": robust.seconds.toFixed(4),
    "reference clusters s": robustTime ?? "-",
    "x faster (clusters)": times(robustTime, robust.seconds),
    "test s": trend.seconds.toFixed(4),
    "reference test s": trendTime ?? "-",
    "x faster (test)": times(trendTime, trend.seconds),
  });
  const [coefficient, logLikelihood, concordance, chi, error] = theirs.printed;
  const { terms } = plain.value;
  const robustError = robust.value.terms[0]!.robustStandardError!;
  checks.push({
    rows: n,
    coefficient: agreement(terms[0]!.coefficient, coefficient),
    "log likelihood": agreement(plain.value.logLikelihood, logLikelihood),
    concordance: agreement(whole.value.concordance.estimate, concordance),
    "trend statistic": agreement(trend.value.terms[0]!.statistic, chi),
    "robust error": agreement(robustError, error),
  });
}
console.table(speed);
console.table(checks);
if (sizes.length > 1) {
  const growth = fitSeconds.at(-1)! / fitSeconds.at(-2)!;
  console.log(`${sizes.at(-1)} rows take ${growth.toFixed(1)} x the time of ${sizes.at(-2)}`);
}
const args = ["run", "--allow-all", import.meta.filename!, "memory", `${sizes.at(-1)}`];
console.log(
  new TextDecoder().decode(new Deno.Command(Deno.execPath(), { args }).outputSync().stdout),
);

/**
 * In a process of its own: how far its peak grows during one fit, against the size of the input.
 */
function memory(n: number): void {
  const { cluster: _, ...data } = sample(n);
  const input = n * (8 * (p + 1) + 4);
  const before = peak();
  coxRegression(data);
  const grown = peak() - before;
  console.log(
    `${n} rows: input ${(input / 1e6).toFixed(0)} MB, peak memory of the process grows by ` +
      `${(grown / 1e6).toFixed(0)} MB during a fit: ${(grown / input).toFixed(1)} x the input`,
  );
}

/** Peak resident memory so far, where the system tells (Linux); else the present one. */
function peak(): number {
  try {
    const status = Deno.readTextFileSync("/proc/self/status");
    return Number(/VmHWM:\s+(\d+) kB/.exec(status)![1]) * 1024;
  } catch {
    return Deno.memoryUsage().rss;
  }
}
