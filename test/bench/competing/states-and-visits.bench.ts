// State occupation and the interval-censored estimate; the reference library draws the states from
// the same rows where Rscript is installed. It has no estimate of the other kind.
// Run:  deno run -A test/bench/competing/states-and-visits.bench.ts [patients ...]
import {
  intervalCensoredIncidence,
  ordinalRegression,
  stateOccupation,
  transitionRows,
  visitWeights,
} from "../../../lib/mod.ts";
import { SeededRandom } from "../../../lib/numerics/replicates/random.ts";
import { agreement, bestOf, reference, writeColumns } from "../with-oracle.ts";

const sizes = Deno.args.length ? Deno.args.map(Number) : [2000, 20_000, 100_000];
const REFERENCE_UP_TO = 20_000; // beyond it the reference's errors take minutes
const LOOKED_UP_TO = 20_000; // beyond it so many iterations tell nothing new
const states: Record<string, string | number>[] = [];
const visits: Record<string, string | number | boolean>[] = [];

/** An invented illness-death course, looked at about once a year. */
function course(n: number) {
  const random = new SeededRandom(31);
  const columns = {
    time: new Float64Array(n),
    death: new Uint8Array(n),
    recurrence: new Float64Array(n).fill(Infinity),
    lastClear: new Float64Array(n),
    found: new Float64Array(n).fill(Infinity),
  };
  for (let i = 0; i < n; i++) {
    const onset = random.exponential(0.06);
    const before = random.exponential(0.05);
    const dies = before < onset ? before : onset + random.exponential(0.1);
    const end = 3 + 9 * random.uniform();
    columns.time[i] = Math.min(dies, end);
    columns.death[i] = dies <= end ? 1 : 0;
    if (onset < columns.time[i]!) columns.recurrence[i] = onset;
    for (let t = random.exponential(1); t < columns.time[i]!; t += random.exponential(1)) {
      if (t > onset) {
        columns.found[i] = t;
        break;
      }
      columns.lastClear[i] = t;
    }
  }
  return columns;
}

for (const n of sizes) {
  const data = course(n);
  const { row: _, states: names, ...rows } = transitionRows({
    time: data.time,
    death: data.death,
    stages: { recurrence: data.recurrence },
  });
  const ours = bestOf(3, () => stateOccupation(rows, { states: names }).at([5])[1]!);
  let theirs: { seconds: number[]; printed: number[] } = { seconds: [], printed: [] };
  if (n <= REFERENCE_UP_TO) {
    const code = (labels: string[]) => labels.map((label) => names.indexOf(label) + 1);
    const file = writeColumns({
      id: rows.subject,
      entry: rows.entry,
      time: rows.time,
      from: code(rows.from),
      to: code(rows.to),
    });
    theirs = reference(file, [
      "suppressMessages(library(survival)); d$to <- factor(d$to, 0:3, c('none', 1:3))",
      "f <- survfit(Surv(entry, time, to) ~ 1, d, id = id, istate = factor(from, 1:3))",
      "s <- summary(f, times = 5)",
      "cat(sprintf('%.12f %.12f', s$pstate[1, 2], s$std.err[1, 2]))",
    ]);
    Deno.removeSync(file);
  }
  const total = theirs.seconds.reduce((sum, s) => sum + s, 0);
  states.push({
    patients: n,
    "s": ours.seconds.toFixed(4),
    "reference s": total ? total.toFixed(2) : "not run",
    "times faster": total ? Math.round(total / ours.seconds) : "-",
    "probability agrees": agreement(ours.value.probability[0]!, theirs.printed[0], 1e-6),
    "error agrees": agreement(ours.value.standardError[0]!, theirs.printed[1], 1e-6),
  });

  if (n > LOOKED_UP_TO) continue;
  const looked = bestOf(n > 2000 ? 1 : 3, () => intervalCensoredIncidence(data));
  const held = bestOf(3, () => intervalCensoredIncidence(data, { deathRateRatio: 1 }));
  visits.push({
    patients: n,
    "interval-censored s": looked.seconds.toFixed(3),
    iterations: looked.value.iterations,
    converged: looked.value.converged,
    "ratio (true 2)": looked.value.deathRateRatio.toFixed(2),
    "at 5 years": looked.value.at([5]).incidence[0]!.toFixed(4),
    "ratio held s": held.seconds.toFixed(3),
    ...regressions(n),
  });
}
console.log("States at five years, with their errors");
console.table(states);
console.log("Visits");
console.table(visits);

/** An ordinal regression and a model of visits, with as many rows, three covariates each. */
function regressions(n: number) {
  const random = new SeededRandom(5);
  const draw = (value: () => number) => Float64Array.from({ length: n }, value);
  const covariates = { a: draw(() => random.normal()), b: draw(() => random.bernoulli(0.5)) };
  const cluster = Int32Array.from({ length: n }, (_, i) => Math.floor(i / 5));
  const outcome = draw(() => random.choice([5, 3, 1, 1, 1]));
  const entry = Float64Array.from({ length: n }, (_, i) => i % 5);
  const time = entry.map((t) => t + random.uniform());
  const visit = draw(() => random.bernoulli(0.8));
  const ordinal = bestOf(3, () => ordinalRegression({ outcome, covariates, cluster }));
  const model = bestOf(
    3,
    () =>
      visitWeights({ subject: cluster, entry, time, visit, covariates }, { stabiliseBy: ["b"] }),
  );
  return { "ordinal s": ordinal.seconds.toFixed(3), "visit weights s": model.seconds.toFixed(3) };
}
