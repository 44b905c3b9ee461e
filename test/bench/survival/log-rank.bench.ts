// Log-rank test of 2 groups, against the reference library in the same run. Run:
//   deno run -A test/bench/survival/log-rank.bench.ts [rows]
import { SeededRandom } from "../../../lib/numerics/replicates/random.ts";
import { logRank } from "../../../lib/survival/log-rank/log-rank.ts";
import { agreement, bestOf, reference, writeColumns } from "../with-oracle.ts";

const sizes = Deno.args.length ? Deno.args.map(Number) : [1000, 10_000, 100_000, 1_000_000];
const table: Record<string, string | number>[] = [];
for (const ties of ["hardly any", "days"]) {
  for (const n of sizes) {
    const random = new SeededRandom(3);
    const time = new Float64Array(n);
    const event = new Uint8Array(n);
    const group = new Uint8Array(n);
    const stratum = new Uint8Array(n);
    for (let i = 0; i < n; i++) {
      group[i] = random.bernoulli(0.4);
      const t = random.exponential(group[i] ? 0.2 : 0.21);
      time[i] = ties === "days" ? Math.ceil(365.25 * t) / 365.25 : t;
      event[i] = random.bernoulli(0.5);
      stratum[i] = random.integer(5);
    }
    const ours = bestOf(5, () => logRank({ time, event, group }));
    const stratified = bestOf(3, () => logRank({ time, event, group, stratum }));
    const file = writeColumns({ time, event, group });
    const theirs = reference(file, [
      "suppressMessages(library(survival))",
      "f <- survdiff(Surv(time, event) ~ group, d)",
      "f <- survdiff(Surv(time, event) ~ group, d)",
      "cat(sprintf('%.14f', f$chisq))",
    ]);
    Deno.removeSync(file);
    const best = theirs.seconds.length ? Math.min(...theirs.seconds) : undefined;
    table.push({
      ties,
      rows: n,
      "ours s": ours.seconds.toFixed(4),
      "reference s": best ?? "-",
      "times faster": best ? (best / ours.seconds).toFixed(1) : "-",
      "5 strata s": stratified.seconds.toFixed(4),
      // they count times as tied that differ by less than 1e-8, we by less than 1e-9 of the largest
      "statistic agrees": agreement(ours.value.statistic, theirs.printed[0], 1e-6),
    });
  }
}
console.table(table);
