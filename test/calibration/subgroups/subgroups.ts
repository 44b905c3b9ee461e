// Differences between subgroups and between populations against their truth, in two case mixes:
//   deno run --allow-read --allow-write --allow-sys test/calibration/subgroups/subgroups.ts \
//     --keep FOLDER [--mix demo|harder] [--cohorts 400] [--write]
import { calibrateInBothMixes } from "../printed/in-both-mixes.ts";
import { subgroupEstimates } from "./subgroup-estimates.ts";
import { withTruth } from "./subgroup-truth.ts";

await calibrateInBothMixes({
  ofCohort: subgroupEstimates,
  withTruth,
  json: "subgroups.json",
  results: new URL("results.md", import.meta.url),
  told: {
    title: "Differences between subgroups and populations against their known truth",
    truth: "of the overlap among all patients of the cohorts, under either operation",
    madeBy: "test/calibration/subgroups/subgroups.ts",
  },
});
