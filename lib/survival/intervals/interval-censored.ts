import {
  checkConfidence,
  checkDataColumns,
  checkNumber,
  checkWhole,
  DataError,
  numberColumn,
  type Numbers,
  SeededRandom,
  sortedColumn,
  TIE_TOLERANCE,
} from "../../numerics/mod.ts";
import { innermostIntervals, sortEnds } from "./innermost.ts";
import { maximiseMasses } from "./self-consistent.ts";

/** Events known to lie in (lower, upper]; equal ends are an exact time. */
export interface IntervalCensored {
  /** Last time known to be free of the event, at least 0. */
  lower: Numbers;
  /** First time known to have had it; Infinity where it was never seen. */
  upper: Numbers;
  /** Case weight, above 0. */
  weight?: Numbers;
}

/** Options of {@link intervalCensoredSurvival}. */
export interface IntervalCensoredOptions {
  /** Largest violation of the Kuhn-Tucker conditions to accept, default 1e-9. */
  tolerance?: number;
  /** Default 2000; some tens are usual. */
  maxIterations?: number;
  /** Level of the bootstrap limits; giving it asks for them. Default 0.95. */
  confidence?: number;
  /** Bootstrap samples: 200 where `confidence` is given, else 0, no limits. */
  bootstrap?: number;
  /** Seed of the bootstrap, default 1. */
  seed?: number;
}

/** Nonparametric maximum-likelihood estimate: where the mass lies, and survival after it. */
export interface IntervalCensoredSurvival {
  /** Rows. */
  n: number;
  /** Intervals (left, right] that hold mass; an exact time has both ends equal. Ascending. */
  left: Float64Array;
  /** Right ends of the same intervals. */
  right: Float64Array;
  /** Probability in each; how it lies inside is not determined by the data. */
  mass: Float64Array;
  /** Survival from each right end on, until the next left end. */
  survival: Float64Array;
  /** Bootstrap limits of `survival`; NaN without a bootstrap. */
  lower: Float64Array;
  /** Upper limits. */
  upper: Float64Array;
  /** At the estimate. */
  logLikelihood: number;
  /** Steps that the search took. */
  iterations: number;
  /** Whether the search for the estimate came to its end. */
  converged: boolean;
  /** Why not, where it did not converge. */
  reason?: string;
  /** Largest Kuhn-Tucker violation: what the log-likelihood per row lacks at most. */
  violation: number;
  /** The estimate at other times. */
  at(times: Numbers): IntervalCensoredAt;
}

/** Survival at chosen times. */
export interface IntervalCensoredAt {
  /** Times, in the unit given. */
  time: Float64Array;
  /** NaN strictly inside an interval with mass, where survival is not determined. */
  survival: Float64Array;
  /** Least and greatest survival the estimate allows; both equal `survival` where determined. */
  least: Float64Array;
  /** The greatest that the estimate allows. */
  greatest: Float64Array;
  /** Bootstrap limits of what lies between least and greatest; NaN without a bootstrap. */
  lower: Float64Array;
  /** Upper limits. */
  upper: Float64Array;
}

/**
 * Survival when each event is only known to lie in (lower, upper], as between two examinations:
 * the nonparametric maximum-likelihood estimate.
 *
 * The likelihood, a product of S(lower) - S(upper) (of the mass at t for an exact time), can only
 * put mass in innermost intervals; the masses are found by self-consistency joined with iterative
 * convex minorant steps, until no Kuhn-Tucker condition is violated by more than `tolerance`.
 * Inside an interval with mass the curve is not determined: `at` gives NaN with the least and the
 * greatest value. With exact times and right censoring this is Kaplan-Meier.
 *
 * Ends closer than 1e-9 of the largest count as equal. Weights multiply the log-likelihood.
 * Examinations are taken to say nothing about the event but what they show.
 *
 * Limits: percentile bootstrap over rows, of the least value for the lower limit and the greatest
 * for the upper. The estimate converges slowly (cube root of n) where examination times are
 * continuous; the bootstrap is then only a guide to its spread, not a proven interval.
 *
 * Shapes: n rows in, one row per interval with mass out. Cost O(n log n), and O(n) an iteration.
 *
 * @example One row seen at 2, five at 3, five between 1 and 3
 * ```ts
 * import { intervalCensoredSurvival } from "mitral";
 * const fit = intervalCensoredSurvival({ lower: [2, 3, 1], upper: [2, 3, 3], weight: [1, 5, 5] });
 * fit.mass; // 1/6 at 2, 5/6 at 3
 * ```
 * @throws {DataError} for lower below 0 or above upper, NaN, bad weights or options. Not converging
 * is no error: see `converged`.
 * @see Turnbull (1976) JRSS B 38:290-295; Gentleman & Geyer (1994) Biometrika 81:618-623; Wellner &
 * Zhan (1997) JASA 92:945-959.
 */
export function intervalCensoredSurvival(
  data: IntervalCensored,
  options: IntervalCensoredOptions = {},
): IntervalCensoredSurvival {
  checkDataColumns("intervalCensoredSurvival", data, ["lower", "upper", "weight"]);
  const { lower, upper, weight } = intervalColumns(data);
  const search = {
    tolerance: checkNumber("tolerance", options.tolerance ?? 1e-9, (t) => t > 0, "above 0"),
    maxIterations: checkWhole("maxIterations", options.maxIterations ?? 2000, 0),
  };
  const confidence = checkConfidence(options.confidence);
  const samples = checkWhole(
    "bootstrap",
    options.bootstrap ?? (options.confidence === undefined ? 0 : 200),
    0,
  );
  const ends = sortEnds(lower, upper);
  const estimate = (share: Float64Array) => {
    const { left, right, cover } = innermostIntervals(lower, upper, share, ends);
    return stepsOf(left, right, maximiseMasses(cover, left.length, search));
  };
  const found = estimate(weight);
  const copies = resampled(weight, samples, options.seed ?? 1).map(estimate);
  const limits = (times: Float64Array) => limitsAt(copies, times, confidence);
  return {
    n: lower.length,
    ...found,
    ...limits(found.right),
    at(times) {
      const time = numberColumn("times", times, { min: 0 }).slice();
      const { least, greatest } = boundsAt(found, time);
      const survival = least.map((value, i) => value === greatest[i] ? value : NaN);
      return { time, survival, least, greatest, ...limits(time) };
    },
  };
}

interface Steps {
  left: Float64Array;
  right: Float64Array;
  survival: Float64Array;
}

/** The intervals that hold mass, with what the search says of itself. */
function stepsOf(
  left: Float64Array,
  right: Float64Array,
  found: ReturnType<typeof maximiseMasses>,
) {
  const { mass, ...search } = found;
  const kept = [...mass.keys()].filter((j) => mass[j]! > 0);
  const held = Float64Array.from(kept, (j) => mass[j]!);
  const survival = new Float64Array(held.length);
  for (let j = held.length - 2; j >= 0; j--) survival[j] = survival[j + 1]! + held[j + 1]!;
  const reason = `violation ${
    search.violation.toPrecision(2)
  } after ${search.iterations} iterations`;
  return {
    left: Float64Array.from(kept, (j) => left[j]!),
    right: Float64Array.from(kept, (j) => right[j]!),
    mass: held,
    survival,
    ...search,
    ...(!search.converged && { reason }),
  };
}

/** Least and greatest survival at each time. */
function boundsAt({ left, right, survival }: Steps, times: Float64Array) {
  const last = left.length - 1;
  const least = new Float64Array(times.length);
  const greatest = new Float64Array(times.length);
  times.forEach((t, i) => {
    let passed = -1; // intervals whose right end has come
    while (passed < last && right[passed + 1]! <= t) passed++;
    greatest[i] = passed < 0 ? 1 : survival[passed]!;
    const inside = passed < last && left[passed + 1]! < t;
    least[i] = inside ? survival[passed + 1]! : greatest[i]!;
  });
  return { least, greatest };
}

/** Weights of bootstrap samples of the rows: how often each was drawn times its own weight. */
function resampled(weight: Float64Array, samples: number, seed: number): Float64Array[] {
  const random = new SeededRandom(seed);
  return Array.from({ length: samples }, (_, sample) => {
    const stream = random.fork(sample);
    const drawn = new Float64Array(weight.length);
    for (let i = 0; i < weight.length; i++) {
      const row = stream.integer(weight.length);
      drawn[row]! += weight[row]!;
    }
    return drawn;
  });
}

/** Percentile limits: of the least values below, of the greatest above. */
function limitsAt(copies: Steps[], times: Float64Array, confidence: number) {
  const lower = new Float64Array(times.length).fill(NaN);
  const upper = new Float64Array(times.length).fill(NaN);
  if (copies.length === 0) return { lower, upper };
  const bounds = copies.map((copy) => boundsAt(copy, times));
  const tail = (1 - confidence) / 2;
  for (let i = 0; i < times.length; i++) {
    lower[i] = percentile(Float64Array.from(bounds, ({ least }) => least[i]!), tail);
    upper[i] = percentile(Float64Array.from(bounds, ({ greatest }) => greatest[i]!), 1 - tail);
  }
  return { lower, upper };
}

/** Sample quantile, linear between order statistics. */
function percentile(values: Float64Array, p: number): number {
  values.sort();
  const place = p * (values.length - 1);
  const below = Math.floor(place);
  const above = Math.min(below + 1, values.length - 1);
  return values[below]! + (place - below) * (values[above]! - values[below]!);
}

/** Checked columns, near-equal ends made equal. */
function intervalColumns(data: IntervalCensored) {
  const n = data.lower?.length ?? 0;
  if (n === 0) throw new DataError("lower", "at least one row", "none");
  const from = numberColumn("lower", data.lower, { min: 0 });
  const to = numberColumn("upper", data.upper, { length: n, min: 0, infinite: true });
  const weight = data.weight === undefined
    ? new Float64Array(n).fill(1)
    : numberColumn("weight", data.weight, { length: n, above: 0 });
  const all = new Float64Array(2 * n);
  all.set(from);
  all.set(to, n);
  const { order, sorted } = sortedColumn(all);
  let finite = 2 * n;
  while (sorted[finite - 1] === Infinity) finite--;
  const tolerance = TIE_TOLERANCE * sorted[finite - 1]!;
  let first = sorted[0]!;
  for (let i = 1; i < finite; i++) {
    if (sorted[i]! - sorted[i - 1]! >= tolerance && sorted[i] !== sorted[i - 1]) first = sorted[i]!;
    all[order[i]!] = first;
  }
  const lower = all.subarray(0, n);
  const upper = all.subarray(n);
  for (let i = 0; i < n; i++) {
    const collapsed = lower[i] === upper[i] && from[i] !== to[i];
    if (!(from[i]! <= to[i]!) || collapsed) {
      const expected = collapsed ? `clearly above` : `at least`;
      throw new DataError("upper", `${expected} its lower end ${from[i]}`, to[i], i);
    }
  }
  return { lower, upper, weight };
}
