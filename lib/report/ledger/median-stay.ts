import { type Analysis, hasColumn, numericColumn } from "../../cohort/model/mod.ts";
import { fewerOfMany, SeededRandom, weightedQuantiles } from "../../numerics/mod.ts";
import { bootstrapLimits } from "../../sensitivity/resampling/mod.ts";

const REPLICATES = 200;

/** Median stay in days in both groups, weighted, and the difference with limits. */
export interface MedianStay {
  first: number;
  second: number;
  difference: number;
  lower: number;
  upper: number;
}

/**
 * Weighted medians of the stay in hospital, with percentile limits from 200 samples of patients
 * whose weights are held; of more than 20,000 patients fewer, at least 50.
 *
 * @returns null where the file has no stay, or not of both groups.
 */
export function medianStay(
  analysis: Analysis,
  weight: Float64Array,
  { confidence, seed }: { confidence: number; seed: number },
): MedianStay | null {
  if (!hasColumn(analysis, "los")) return null;
  const stay = numericColumn(analysis, "los");
  const groups = [1, 0].map((code) => {
    const rows = Array.from(stay, (_, i) => i).filter((i) =>
      analysis.treated[i] === code && !Number.isNaN(stay[i]) && weight[i]! > 0
    ).sort((a, b) => stay[a]! - stay[b]!);
    return { stay: rows.map((i) => stay[i]!), weight: rows.map((i) => weight[i]!) };
  });
  const [repair, replacement] = groups;
  if (!repair || !replacement || groups.some(({ stay }) => stay.length < 2)) return null;
  const random = new SeededRandom(seed);
  const first = weightedMedian(repair);
  const second = weightedMedian(replacement);
  const replicates = Float64Array.from(
    { length: fewerOfMany(REPLICATES, analysis.n, 50) },
    () => weightedMedian(drawn(repair, random)) - weightedMedian(drawn(replacement, random)),
  );
  const difference = first - second;
  const limits = bootstrapLimits({ estimate: difference, replicates }, {
    method: "percentile",
    confidence,
  });
  return {
    first,
    second,
    difference,
    lower: Math.min(limits.lower, difference),
    upper: Math.max(limits.upper, difference),
  };
}

interface Sorted {
  /** Ascending. */
  stay: readonly number[];
  weight: readonly number[];
}

function weightedMedian({ stay, weight }: Sorted): number {
  return weightedQuantiles(stay, weight, [0.5])[0]!;
}

/** As many patients drawn with replacement, as times that each was drawn. */
function drawn({ stay, weight }: Sorted, random: SeededRandom): Sorted {
  const times = new Int32Array(stay.length);
  for (let k = 0; k < stay.length; k++) times[random.integer(stay.length)]!++;
  return { stay, weight: weight.map((w, i) => w * times[i]!) };
}
