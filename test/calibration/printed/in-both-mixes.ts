import { join } from "node:path";
import { parseArgs } from "node:util";
import { keptCohorts } from "../kept-cohorts.ts";
import { type Mix, mixes } from "./mixes.ts";
import { performanceOf } from "./performance.ts";
import { performanceText, type Told } from "./performance-text.ts";
import type { PrintedCohort } from "./printed-estimates.ts";
import { jsonOf, rounded } from "./rows-text.ts";

/** A calibration whose truth comes from the cohorts themselves. */
export interface MixCalibration<Kept extends PrintedCohort> {
  /** What one cohort gives. */
  ofCohort: (seed: number, mix: Mix) => Promise<Kept>;
  /** All cohorts with the truth beside each estimate. */
  withTruth: (cohorts: readonly Kept[]) => PrintedCohort[];
  /** File of `lib/sensitivity/calibrated` that the report reads. */
  json: string;
  /** Where the results are told. */
  results: URL;
  told: Told;
}

const firstSeed = 700_001;

/**
 * Does what the command line asks for: `--keep FOLDER [--mix demo|harder] [--cohorts 400]` adds
 * cohorts to those kept in FOLDER, one line a cohort, and goes on from there; `--write` turns what
 * is kept into the two files.
 */
export async function calibrateInBothMixes<Kept extends PrintedCohort>(
  { ofCohort, withTruth, json, results, told }: MixCalibration<Kept>,
): Promise<void> {
  const { values } = parseArgs({
    options: {
      keep: { type: "string" },
      mix: { type: "string" },
      cohorts: { type: "string", default: "400" },
      write: { type: "boolean", default: false },
    },
  });
  const { keep } = values;
  if (!keep) throw new Error("--keep must name the folder in which cohorts are kept");
  Deno.mkdirSync(keep, { recursive: true });
  const fileOf = ({ name }: Mix) => join(keep, `${name}.jsonl`);
  const keptOf = (mix: Mix) => keptCohorts<Kept>(fileOf(mix));
  if (values.write) {
    const found = mixes.map((mix) =>
      performanceOf(mix, { cohorts: withTruth(keptOf(mix)), firstSeed })
    );
    const library = new URL("../../../lib/sensitivity/calibrated/", import.meta.url);
    Deno.writeTextFileSync(new URL(json, library), jsonOf(found));
    Deno.writeTextFileSync(results, performanceText(found, told));
    return;
  }
  for (const mix of mixes.filter(({ name }) => name === (values.mix ?? name))) {
    const done = new Set(keptOf(mix).map(({ seed }) => seed));
    for (let k = 0; k < Number(values.cohorts); k++) {
      if (done.has(firstSeed + k)) continue;
      const line = JSON.stringify(
        await ofCohort(firstSeed + k, mix),
        (_, x: unknown) => typeof x === "number" ? rounded(x, 7) : x,
      );
      Deno.writeTextFileSync(fileOf(mix), line + "\n", { append: true });
    }
  }
}
