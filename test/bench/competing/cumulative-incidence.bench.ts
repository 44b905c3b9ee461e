// Cumulative incidence with standard errors in 2 groups, and Gray's test, against the reference
// library in the same run. Run: deno run
// -A test/bench/competing/cumulative-incidence.bench.ts [rows]
import { cumulativeIncidenceByGroup } from "../../../lib/competing/incidence/cumulative-incidence.ts";
import { grayTest } from "../../../lib/competing/incidence/gray-test.ts";
import { SeededRandom } from "../../../lib/numerics/replicates/random.ts";
import { agreement, bestOf, reference, writeColumns } from "../with-oracle.ts";

const sizes = Deno.args.length ? Deno.args.map(Number) : [1000, 10_000, 100_000];
const table: Record<string, string | number>[] = [];
for (const n of sizes) {
  const random = new SeededRandom(5);
  const time = new Float64Array(n);
  const event = new Int32Array(n);
  const group = new Int32Array(n);
  for (let i = 0; i < n; i++) {
    group[i] = random.bernoulli(0.4);
    time[i] = Math.min(random.exponential(0.1), 14 * random.uniform()); // hardly any ties
    event[i] = [0, 1, 2][random.choice([0.5, 0.2, 0.3])]!;
  }
  const ours = bestOf(5, () => cumulativeIncidenceByGroup({ time, event, group }));
  const gray = bestOf(5, () => grayTest({ time, event, group }, { cause: 1 }));
  const file = writeColumns({ time, event, group });
  const theirs = reference(file, [
    "suppressMessages(library(survival)); suppressMessages(library(cmprsk))",
    "f <- survfit(Surv(time, factor(event)) ~ group, d)",
    "g <- cuminc(d$time, d$event, d$group)",
    "cat(sprintf('%.12f %.12f', f$std.err[f$strata[1], 2], g$Tests[1, 1]))",
  ]);
  Deno.removeSync(file);
  const last = ours.value[0]!.causes[0]!.standardError.at(-1)!;
  // to 1e-6: we take times within 1e-9 of the largest as tied, which it does not
  table.push({
    rows: n,
    "incidence s": ours.seconds.toFixed(4),
    "reference s": theirs.seconds[0] ?? "-",
    "times faster": theirs.seconds[0] ? Math.round(theirs.seconds[0] / ours.seconds) : "-",
    "Gray s": gray.seconds.toFixed(4),
    "reference with incidence s": theirs.seconds[1] ?? "-",
    "standard error agrees": agreement(last, theirs.printed[0]),
    "statistic agrees": agreement(gray.value.statistic, theirs.printed[1], 1e-6),
  });
}
console.table(table);
