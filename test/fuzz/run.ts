/**
 * Reads 10,000 mutated files and study files, or as many as asked for:
 *
 *     deno task fuzz [runs] [seed]
 *
 * @module
 */
import { fuzz } from "./fuzz.ts";

const [runs = 10_000, seed = 20240611] = Deno.args.filter((arg) => arg !== "--").map(Number);
const before = Deno.memoryUsage().rss;
const counts = await fuzz(runs, seed);
const grown = Math.round((Deno.memoryUsage().rss - before) / 2 ** 20);
console.log(
  `${counts.files} files: ${counts.analysed} analysed, ${counts.stopped} stopped with reasons, ` +
    `${counts.refused} study files refused; slowest ${counts.slowestSeconds.toFixed(2)} s; ` +
    `memory grew by ${grown} MB`,
);
if (grown > 600) Deno.exit(1);
