import { parseArgs } from "node:util";
import { runCohorts } from "./run-cohorts.ts";
import { visitSharePerformance } from "./visit-shares.ts";

// The share with a leak among the living, by how visits are counted, against the known truth:
//   deno run --allow-read --allow-write test/calibration/calibrate-visits.ts [--cohorts 200]
// Writes visit-shares.json, which `lib/sensitivity/calibrated/sound-to.ts` quotes.
const { values } = parseArgs({
  options: { cohorts: { type: "string", default: "200" }, workers: { type: "string" } },
});
const firstSeed = 700_001;
const cohorts = Number(values.cohorts);
const { results, failures } = await runCohorts(
  "visitShares",
  Array.from({ length: cohorts }, (_, k) => firstSeed + k),
  {
    ...(values.workers && { workers: Number(values.workers) }),
    done: (ready) => ready % 20 === 0 && console.error(`${ready} cohorts`),
  },
);
const rows = visitSharePerformance(results);
const text = JSON.stringify(
  { firstSeed, cohorts: results.length, failures, rows },
  (_, x: unknown) => typeof x === "number" && !Number.isInteger(x) ? Number(x.toPrecision(4)) : x,
  1,
);
Deno.writeTextFileSync(new URL("./visit-shares.json", import.meta.url), text + "\n");
console.table(rows);
