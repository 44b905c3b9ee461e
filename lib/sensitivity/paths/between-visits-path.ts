import type { RecurrenceLookedFor } from "../../cohort/follow-up/mod.ts";
import { FEW } from "../../competing/incidence/mod.ts";
import { reweightedIncidence } from "../../competing/visits/mod.ts";
import {
  checkConfidence,
  DataError,
  distributions,
  filterRows,
  type Interval,
  twoSidedP,
} from "../../numerics/mod.ts";
import { resampler } from "../bootstrap/mod.ts";

/**
 * Enough for a standard error among paths that differ by more than it; of many patients, where it
 * is small, fewer.
 */
const drawsOf = (patients: number) => patients > 20_000 ? 15 : 40;

/** So few draws know their standard error to a ninth of itself; this moves it by a thousandth. */
const tolerance = 1e-4;

/**
 * The difference between the groups, repair minus replacement, in recurrence between visits at one
 * time. Its standard error is that of draws of patients whose weights are held, as the errors of
 * all other paths hold them.
 *
 * @param weight One a row of the analysis.
 * @throws {DataError} where fewer than five recurrences were found in a group.
 */
export function betweenVisitsDifference(
  looked: RecurrenceLookedFor,
  weight: ArrayLike<number>,
  options: { time: number; seed: number; confidence?: number },
): Interval & { pValue: number } {
  const { lastClear, found, time, death, treated, rows } = looked;
  const columns = {
    ...{ lastClear, found, time, death },
    weight: Float64Array.from(rows, (row) => weight[row]!),
  };
  const groups = ([1, 0] as const).map((code) => {
    const own = filterRows(columns, (i) => treated[i] === code);
    const seen = own.found.reduce((sum, years) => sum + (years < Infinity ? 1 : 0), 0);
    if (seen < FEW) {
      throw new DataError("found", `recurrences found in ${FEW} patients of each group`, seen);
    }
    return { weight: own.weight, ...reweightedIncidence(own, [options.time], { tolerance }) };
  });
  const [repair, replacement] = groups;
  const estimate = repair!.sample.incidence[0]! - replacement!.sample.incidence[0]!;
  const draws = drawsOf(rows.length);
  // draws of patients keep how many there are in each group
  const drawn = groups.map((group, k) => {
    const draw = resampler(group.weight.length, options.seed + k);
    return Float64Array.from({ length: draws }, (_, replicate) => {
      const times = new Float64Array(group.weight.length);
      for (const row of draw(replicate).rows) times[row]! += group.weight[row]!;
      return group.under(times).incidence[0]!;
    });
  });
  const replicates = drawn[0]!.map((share, k) => share - drawn[1]![k]!);
  const mean = replicates.reduce((sum, one) => sum + one / draws, 0);
  const standardError = Math.sqrt(
    replicates.reduce((sum, one) => sum + (one - mean) ** 2, 0) / (draws - 1),
  );
  const reach = standardError *
    distributions.normalUpperQuantile((1 - checkConfidence(options.confidence)) / 2);
  return {
    estimate,
    standardError,
    lower: estimate - reach,
    upper: estimate + reach,
    pValue: twoSidedP(estimate / standardError),
  };
}
