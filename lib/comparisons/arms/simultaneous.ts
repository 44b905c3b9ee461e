import { distributions, quantileOfSorted, SeededRandom } from "../../numerics/mod.ts";

const DRAWS = 20_000;

/**
 * How many standard errors limits must reach so that all pairwise differences of several independent
 * estimates lie within them together.
 *
 * The quantile of the largest |e_j - e_k| / sqrt(v_j + v_k), from seeded draws of e_j, normal with
 * variance v_j; divided by sqrt(chi-square / df) where the variances come from few clusters. With two
 * estimates it is worked out, not drawn. Cost: 20,000 draws.
 *
 * @param options.degreesOfFreedom Of the variances; Infinity for normal limits.
 * @see Hothorn, Bretz & Westfall (2008) Biom J 50:346-363.
 */
export function simultaneousReach(
  variances: readonly number[],
  options: { confidence: number; degreesOfFreedom: number; seed: number },
): number {
  const { confidence, degreesOfFreedom: df, seed } = options;
  if (variances.length === 2) return pointwiseReach(confidence, df);
  const random = new SeededRandom(seed);
  const errors = variances.map(Math.sqrt);
  const largest = Float64Array.from({ length: DRAWS }, () => {
    const drawn = errors.map((error) => error * random.normal());
    let most = 0;
    for (let j = 0; j < drawn.length; j++) {
      for (let k = j + 1; k < drawn.length; k++) {
        const error = Math.sqrt(variances[j]! + variances[k]!);
        if (error > 0) most = Math.max(most, Math.abs(drawn[j]! - drawn[k]!) / error);
      }
    }
    return most / Math.sqrt(scaleOf(random, df));
  });
  return quantileOfSorted(largest.sort(), confidence);
}

/** The same for one difference alone. */
export function pointwiseReach(confidence: number, df: number): number {
  const tail = (1 - confidence) / 2;
  return df === Infinity
    ? distributions.normalUpperQuantile(tail)
    : distributions.studentUpperQuantile(tail, df);
}

/** The level at which normal limits reach so far. */
export function levelOf(reach: number): number {
  return 1 - 2 * distributions.normalUpper(reach);
}

function scaleOf(random: SeededRandom, df: number): number {
  if (df === Infinity) return 1;
  let sum = 0;
  for (let k = 0; k < df; k++) sum += random.normal() ** 2;
  return sum / df;
}
