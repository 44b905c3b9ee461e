// The bootstrap over the whole procedure on the demonstration cohort: 1,000 replicates of fitting
// the propensity score, matching or weighting, and comparing survival, by the number of workers.
// The replicates must not depend on it.
//
//   deno run --allow-all test/bench/bootstrap.bench.ts
import { followUpOf, openStudy, procedureBootstrap, readCohort, selectEligible } from "mitral";

const study = await openStudy();
const analysis = selectEligible(await readCohort(study), study);
const followUp = followUpOf(analysis, "death");
const rows: Record<string, string | number>[] = [];

for (const design of ["matched", "weighted"] as const) {
  let first: string | undefined;
  for (const workers of [0, 1, navigator.hardwareConcurrency]) {
    const start = performance.now();
    const { survival, restrictedMean } = await procedureBootstrap(
      { analysis, study, followUp, design },
      { replicates: 1000, workers },
    );
    const seconds = (performance.now() - start) / 1000;
    const all = [...survival, restrictedMean].map((one) => Array.from(one?.replicates ?? []));
    const result = JSON.stringify(all);
    if (result !== (first ??= result)) throw new Error(`${workers} workers gave other replicates`);
    rows.push({
      design,
      patients: analysis.n,
      workers: workers === 0 ? "none" : workers,
      replicates: 1000,
      seconds: seconds.toFixed(1),
    });
  }
}
console.table(rows);
