import { recurrenceLookedFor } from "../../../lib/cohort/mod.ts";
import { weightedSample } from "../../../lib/balance/mod.ts";
import { analysis, study } from "../../demo-analysis.ts";
import { filterRows } from "../../../lib/numerics/mod.ts";

export { analysis, study };
export const looked = recurrenceLookedFor(analysis);
export const { weight } = weightedSample(analysis, study);
export const { lastClear, found, time, death, rows, treated } = looked;
export const columns = {
  ...{ lastClear, found, time, death },
  weight: Float64Array.from(rows, (row) => weight[row]!),
};
export const repaired = filterRows(columns, (i) => treated[i] === 1);
export const near = { relative: 0, absolute: 2e-4 };
