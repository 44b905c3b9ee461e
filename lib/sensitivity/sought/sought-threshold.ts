import {
  checkWhole,
  DataError,
  numberColumn,
  type Numbers,
  quantileOfSorted,
} from "../../numerics/mod.ts";
import { resampler } from "../bootstrap/mod.ts";

/** What is claimed of a threshold: an effect with its standard error. */
export interface ThresholdEffect {
  /** The estimate. */
  estimate: number;
  /** Standard error of the estimate. */
  standardError: number;
}

/** A threshold that was sought in the data, and what is left of its effect. */
export interface SoughtThreshold {
  /** Rows at or above it are on the named side. */
  threshold: number;
  /** The effect as these data show it, the search ignored: too large. */
  apparent: ThresholdEffect;
  /** How much of it the search made, on average. */
  optimism: number;
  /** Apparent less optimism. */
  corrected: number;
  /** Thresholds found in the replicates: median and central 90%. */
  found: { lower: number; median: number; upper: number };
  /** Resamples that it rests on. */
  replicates: number;
  /** Replicates in which no candidate had an effect. */
  failed: number;
}

/**
 * Seeks the threshold with the strongest effect, and corrects that effect for having sought it.
 *
 * Of the candidates, the one with the largest |estimate| / standardError is taken. The same search
 * in bootstrap samples gives the optimism: the effect of each sample's own threshold in that
 * sample, less the effect of the same threshold in the data themselves, signed like
 * the apparent effect.
 * Where there is no effect, about as much is left as a line fixed beforehand would show by chance.
 * Corrected effects have no limits here; a threshold found in one data set is to be confirmed in
 * another before anybody is operated on by it.
 *
 * Cost: (replicates + 1) x candidates evaluations of `effect`, and one more a replicate.
 *
 * @param x The measurement. Rows are those in whom it is known.
 * @param effect Of `holds` (1 at or above the threshold) in the rows given, which repeat in a
 * bootstrap sample; null where it cannot be worked out.
 * @param options.candidates Default: nine, the tenths of x from the first to the ninth.
 * @example
 * ```ts ignore
 * import { soughtThreshold } from "mitral";
 * soughtThreshold(lvedd, (rows, holds) => interaction(rows, holds), { seed: 1 }).corrected;
 * ```
 * @throws {DataError} if no candidate has an effect.
 * @see Altman, Lausen, Sauerbrei & Schumacher (1994) JNCI 86:829-835 (the danger). Efron & Gong
 * (1983) Am Stat 37:36-48 and Harrell, Lee & Mark (1996) Stat Med 15:361-387 (optimism).
 */
export function soughtThreshold(
  x: Numbers,
  effect: (rows: Int32Array, holds: Uint8Array) => ThresholdEffect | null,
  options: { seed: number; replicates?: number; candidates?: readonly number[] },
): SoughtThreshold {
  const values = numberColumn("x", x);
  const n = values.length;
  if (n === 0) throw new DataError("x", "at least one row");
  const replicates = checkWhole("replicates", options.replicates ?? 200, 10);
  const sorted = values.slice().sort();
  const candidates = options.candidates ??
    [...new Set([1, 2, 3, 4, 5, 6, 7, 8, 9].map((k) => quantileOfSorted(sorted, k / 10)))];
  const at = (rows: Int32Array, threshold: number) => {
    const holds = new Uint8Array(rows.length);
    for (let k = 0; k < rows.length; k++) holds[k] = values[rows[k]!]! >= threshold ? 1 : 0;
    return effect(rows, holds);
  };
  const seek = (rows: Int32Array) => {
    let best: { threshold: number; effect: ThresholdEffect } | undefined;
    let strength = -Infinity;
    for (const threshold of candidates) {
      const found = at(rows, threshold);
      const own = found ? Math.abs(found.estimate) / found.standardError : NaN;
      if (!found || !(own > strength)) continue;
      strength = own;
      best = { threshold, effect: found };
    }
    return best;
  };
  const every = Int32Array.from({ length: n }, (_, i) => i);
  const apparent = seek(every);
  if (!apparent) throw new DataError("effect", "worked out at one candidate at least", "none");
  const draw = resampler(n, options.seed);
  const found: number[] = [];
  let optimism = 0;
  for (let r = 0; r < replicates; r++) {
    const there = seek(draw(r).rows);
    const here = there && at(every, there.threshold);
    if (!there || !here) continue;
    // the sign is the sample's own: a search takes whichever direction looks stronger
    const sign = Math.sign(there.effect.estimate);
    optimism += sign * (there.effect.estimate - here.estimate);
    found.push(there.threshold);
  }
  if (found.length === 0) throw new DataError("effect", "worked out in some replicates", "none");
  optimism /= found.length;
  const ordered = Float64Array.from(found).sort();
  return {
    threshold: apparent.threshold,
    apparent: apparent.effect,
    optimism,
    corrected: apparent.effect.estimate - Math.sign(apparent.effect.estimate) * optimism,
    found: {
      lower: quantileOfSorted(ordered, 0.05),
      median: quantileOfSorted(ordered, 0.5),
      upper: quantileOfSorted(ordered, 0.95),
    },
    replicates: found.length,
    failed: replicates - found.length,
  };
}
