// Every path to survival and to failure of the valve in the demo, scores shared (target: at least
// 60 of each within 10 s on two cores).
//
//   deno run --allow-read --allow-env --allow-sys test/bench/paths.bench.ts
import process from "node:process";
import { openStudy, readCohort, studyPaths } from "mitral";

const study = await openStudy();
const cohort = await readCohort(study);
const started = performance.now();
const before = process.cpuUsage();
const { survival, valve } = await studyPaths(cohort, study);
const seconds = (performance.now() - started) / 1000;
// of all threads, whatever else the machine does
const { user, system } = process.cpuUsage(before);
if (!survival || !valve) throw new Error("a question without an answer");
if (survival.paths.length < 60 || valve.paths.length < 60) throw new Error("fewer than 60 paths");
console.table([{
  survival: survival.paths.length,
  valve: valve.paths.length,
  cores: navigator.hardwareConcurrency,
  seconds: seconds.toFixed(1),
  processor: ((user + system) / 1e6).toFixed(1),
}]);
