// Kaplan-Meier curves of 2 groups with standard errors and limits, plain and weighted (robust),
// against the reference library in the same run. Run:
//   deno run -A test/bench/survival/kaplan-meier.bench.ts [rows]
import { SeededRandom } from "../../../lib/numerics/replicates/random.ts";
import { kaplanMeierByGroup } from "../../../lib/survival/curve/kaplan-meier.ts";
import { agreement, bestOf, reference, writeColumns } from "../with-oracle.ts";

const sizes = Deno.args.length ? Deno.args.map(Number) : [1000, 10_000, 100_000, 1_000_000];
const table: Record<string, string | number>[] = [];
for (const ties of ["hardly any", "days"]) {
  for (const n of sizes) {
    const random = new SeededRandom(2);
    const time = new Float64Array(n);
    const event = new Uint8Array(n);
    const group = new Uint8Array(n);
    const weight = new Float64Array(n);
    for (let i = 0; i < n; i++) {
      const t = random.exponential(0.2);
      time[i] = ties === "days" ? Math.ceil(365.25 * t) / 365.25 : t;
      event[i] = random.bernoulli(0.5);
      group[i] = random.bernoulli(0.4);
      weight[i] = 0.5 + random.uniform();
    }
    const ours = bestOf(5, () => kaplanMeierByGroup({ time, event, group }));
    const weighted = bestOf(3, () => kaplanMeierByGroup({ time, event, group, weight }));
    const file = writeColumns({ time, event, group });
    const theirs = reference(file, [
      "suppressMessages(library(survival))",
      "f <- survfit(Surv(time, event) ~ group, d, conf.type = 'log-log')",
      "f <- survfit(Surv(time, event) ~ group, d, conf.type = 'log-log')",
      "s <- summary(f, times = 5); cat(sprintf('%.14f', c(s$surv[1], s$std.err[1], s$upper[2])))",
    ]);
    Deno.removeSync(file);
    const [first, second] = ours.value.map(({ curve }) => curve.at([5]));
    const best = theirs.seconds.length ? Math.min(...theirs.seconds) : undefined;
    table.push({
      ties,
      rows: n,
      "ours s": ours.seconds.toFixed(4),
      "reference s": best ?? "-",
      "times faster": best ? (best / ours.seconds).toFixed(1) : "-",
      "weighted, robust s": weighted.seconds.toFixed(4),
      "S(5) agrees": agreement(first!.survival[0]!, theirs.printed[0]),
      "its error": agreement(first!.standardError[0]!, theirs.printed[1]),
      "its limit": agreement(second!.upper[0]!, theirs.printed[2]),
    });
  }
}
console.table(table);
