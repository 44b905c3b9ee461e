// Matching on a caliper, seeded: one by one at 20,000 and 1,000,000 rows, the whole at 2,000 x
// 8,000; where Rscript is installed, the reference (MatchIt::matchit on the same scores) in the
// same run.
//
//   deno run --allow-all test/bench/matching.bench.ts
import { matchPairs, SeededRandom } from "mitral";

function sample(n: number, share: number) {
  const random = new SeededRandom(1);
  const treated = Uint8Array.from({ length: n }, () => random.bernoulli(share));
  const score = Float64Array.from(treated, (one) => random.normal() + 0.5 * one);
  return { treated, score };
}

const rows: Record<string, string | number>[] = [];

function time(
  program: string,
  data: ReturnType<typeof sample>,
  options: Parameters<typeof matchPairs>[1],
): void {
  let fastest = Infinity;
  let pairs = 0;
  for (let run = 0; run < 5; run++) {
    const start = performance.now();
    const result = matchPairs(data, options);
    fastest = Math.min(fastest, (performance.now() - start) / 1000);
    pairs = result.pairs.length;
    for (const [t, c] of result.pairs) {
      const gap = Math.abs(data.score[t]! - data.score[c]!);
      if (!(gap <= result.caliperWidth)) throw new Error("a pair outside the caliper");
    }
  }
  rows.push({ program, n: data.treated.length, pairs, seconds: fastest.toFixed(4) });
}

const small = sample(20_000, 0.3);
time("matchPairs one by one", small, {});
const large = sample(1_000_000, 0.3);
time("matchPairs one by one", large, {});
time("matchPairs closest", large, { begin: "closest" });
const fifth = sample(10_000, 0.2);
time("matchPairs whole", fifth, { search: "whole" });
time("matchPairs whole, no caliper", fifth, { search: "whole", caliper: Infinity });

const file = Deno.makeTempFileSync({ suffix: ".csv" });
const lines = Array.from(small.treated, (t, i) => `${t},${small.score[i]}`);
Deno.writeTextFileSync(file, `treated,distance\n${lines.join("\n")}\n`);
const script = `
suppressMessages(library(MatchIt)); d <- read.csv("${file}")
s <- system.time(m <- matchit(treated ~ distance, d, distance = d$distance, caliper = 0.2))
cat(s[["elapsed"]], sum(m$weights > 0 & d$treated == 1))`;
try {
  const run = await new Deno.Command("Rscript", { args: ["-e", script] }).output();
  if (!run.success) throw new Error(new TextDecoder().decode(run.stderr));
  const [seconds, pairs] = new TextDecoder().decode(run.stdout).split(" ").map(Number);
  rows.push({
    program: "reference (MatchIt greedy)",
    n: 20_000,
    pairs: pairs ?? 0,
    seconds: (seconds ?? NaN).toFixed(4),
  });
} catch (error) {
  console.log(`reference not run: ${error instanceof Error ? error.message : error}`);
} finally {
  Deno.removeSync(file);
}
console.table(rows);
