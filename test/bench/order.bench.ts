// Sorting a column of times, against the reference's order() in the same run; it may take at most
// twice as long. Run:  deno run -A test/bench/order.bench.ts [rows]
import { orderOf } from "../../lib/numerics/columns/order.ts";
import { SeededRandom } from "../../lib/numerics/replicates/random.ts";
import { agreement, bestOf, reference, writeColumns } from "./with-oracle.ts";

const sizes = Deno.args.length ? Deno.args.map(Number) : [1000, 10_000, 100_000, 1_000_000];
const shapes: Record<string, (random: SeededRandom) => number> = {
  "hardly any ties": (random) => random.exponential(0.2),
  "days / 365.25": (random) => Math.ceil(365.25 * random.exponential(0.2)) / 365.25,
  "one far outlier": (random) => random.bernoulli(1e-5) ? 1e9 : random.exponential(0.2),
};
const table: Record<string, string | number>[] = [];
for (const [shape, draw] of Object.entries(shapes)) {
  for (const n of sizes) {
    const random = new SeededRandom(1);
    const time = Float64Array.from({ length: n }, () => draw(random));
    const ours = bestOf(7, () => orderOf(time));
    const comparison = bestOf(
      1,
      () => Uint32Array.from(time.keys()).sort((a, b) => time[a]! - time[b]!),
    );
    const file = writeColumns({ time });
    const best = "min(replicate(7, system.time(order(d$time))[[3]]))";
    const theirs = reference(file, [
      "invisible(NULL)",
      "order(d$time)",
      `cat(${best}, order(d$time)[${n >> 1}])`,
    ]);
    Deno.removeSync(file);
    table.push({
      times: shape,
      rows: n,
      "ours s": ours.seconds.toFixed(4),
      "reference s": theirs.printed[0] ?? "-",
      "times as long": theirs.printed[0] ? (ours.seconds / theirs.printed[0]).toFixed(2) : "-",
      "comparison sort s": comparison.seconds.toFixed(4),
      "agrees": agreement(ours.value[(n >> 1) - 1]! + 1, theirs.printed[1], 0),
    });
  }
}
console.table(table);
