import { checkNumber, DataError } from "../../numerics/mod.ts";
import { type CaseMix, caseMix, chanceOfFailure, type ChartedMix } from "./case-mix.ts";
import { meanRunLength } from "./excursion.ts";
import { exactRunLength } from "./one-risk.ts";

const STEPS = 2000;
// A grid to begin the search for a limit on.
const COARSE = 200;
// Log of the ratio of the run length found to the one wanted.
const CLOSE = 5e-4;

/**
 * Average run length of a risk-adjusted cumulative sum: how many operations pass, on average, from
 * a chart at 0 up to and with its signal.
 *
 * Operations are drawn independently, each with risk p of `expected` as often as `share` says, and
 * fail with odds `trueOddsRatio` times those of p. At 1 this is the time to a false alarm; at
 * `oddsRatio` it is the time to a justified one. With one risk every path is followed, exactly;
 * with more it is a Markov chain on two grids (2000 and 4000 places) extrapolated to none, within
 * 1e-3 relative of exact values, and more than 50 risks are gathered into 50 kinds of
 * equal share. Cost:
 * a fraction of a second.
 *
 * @example One kind of operation at 5%: a false alarm after some 1500 on average
 * ```ts
 * import { runLength } from "mitral";
 *
 * runLength({ expected: [0.05], oddsRatio: 2, limit: 3 }).mean; // 1525.5
 * ```
 * @param o.limit Height at or above which the chart signals, above 0.
 * @throws {DataError}
 * @see Brook & Evans (1972) Biometrika 59:539-549; Steiner et al. (2000) Biostatistics 1:441-452.
 */
export function runLength(o: ChartedMix & { limit: number }): { mean: number } {
  const fits = (h: number) => h > 0 && h < Infinity;
  const limit = checkNumber("limit", o.limit, fits, "a finite number > 0");
  return { mean: extrapolated(caseMix(o), limit) };
}

/**
 * The limit at which a chart has a wanted average run length.
 *
 * @param o.mean Wanted average number of operations to a signal, at least 2.
 * @param o.trueOddsRatio Default 1: the wanted time to a false alarm.
 * @returns The limit and the average run length it has (with few kinds of operation, lengths come
 * in steps: then the first that is long enough).
 * @example A limit with a false alarm every 1000 operations
 * ```ts
 * import { limitForRunLength } from "mitral";
 *
 * limitForRunLength({ expected: [0.02, 0.05, 0.1], oddsRatio: 2, mean: 1000 }).limit;
 * ```
 * @throws {DataError}
 */
export function limitForRunLength(
  o: ChartedMix & { mean: number },
): { limit: number; mean: number } {
  const fits = (m: number) => m >= 2 && m <= 1e8;
  const wanted = checkNumber("mean", o.mean, fits, "from 2 to 100 million operations");
  const mix = caseMix(o);
  const gapOn = (steps: number) => (limit: number) =>
    Math.log(extrapolated(mix, limit, steps) / wanted);
  const near = crossing(gapOn(COARSE), { low: 0, high: 1, wanted }).limit;
  const { limit, gap } = crossing(gapOn(STEPS), {
    low: near * (1 - 1e-3),
    high: near * (1 + 1e-3),
    wanted,
  });
  return { limit, mean: wanted * Math.exp(gap) };
}

interface Crossing {
  limit: number;
  gap: number;
}

/**
 * The least limit found, from a guess on, at which the gap to the wanted run length is not below 0.
 */
function crossing(
  gap: (limit: number) => number,
  guess: { low: number; high: number; wanted: number },
): Crossing {
  const at = (limit: number): Crossing => ({ limit, gap: gap(limit) });
  let low = guess.low > 0 ? at(guess.low) : { limit: 0, gap: -Math.log(guess.wanted) };
  if (low.gap >= 0) low = { limit: 0, gap: -Math.log(guess.wanted) };
  let high = at(guess.high);
  while (high.gap < 0) {
    if (high.limit > 500) throw new DataError("mean", "within reach of a chart", guess.wanted);
    low = high;
    high = at(2 * high.limit);
  }
  // the logarithm of the run length is nearly straight in the limit, and rises
  for (let side = 0; high.gap > CLOSE && high.limit - low.limit > 1e-6 * high.limit;) {
    const straight = -low.gap / (high.gap - low.gap);
    // a little past the crossing, so that the upper end closes in; halves if one end stays
    const share = Math.abs(side) > 1 ? 0.5 : Math.min(0.95, Math.max(0.05, straight + 1e-4));
    const there = at(low.limit + share * (high.limit - low.limit));
    const above = there.gap >= 0;
    side = above ? Math.max(1, side + 1) : Math.min(-1, side - 1);
    if (above) high = there;
    else low = there;
  }
  return high;
}

/** The error of a grid falls in proportion to its step. */
function extrapolated(mix: CaseMix, limit: number, steps = STEPS): number {
  const [risk] = mix.risk;
  if (mix.risk.every((other) => other === risk)) {
    const exact = exactRunLength({
      risk: risk!,
      oddsRatio: mix.oddsRatio,
      failure: chanceOfFailure(risk!, mix.trueOddsRatio),
    }, limit);
    if (!Number.isNaN(exact)) return exact;
  }
  return 2 * meanRunLength(mix, limit, 2 * steps) - meanRunLength(mix, limit, steps);
}
