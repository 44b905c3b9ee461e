import {
  checkDataColumns,
  checkWhole,
  DataError,
  distributions,
  factorSymmetric,
  FOLLOW_UP,
  SeededRandom,
} from "../../numerics/mod.ts";
import {
  flemingHarrington,
  groupedComparison,
  type GroupedFollowUp,
  logRankSums,
} from "./log-rank-sums.ts";

/** Powers of a Fleming-Harrington weight, S(t-)^rho (1 - S(t-))^gamma. */
export interface TimePowers {
  /** Power of the probability of being alive just before. */
  rho: number;
  /** Power of its complement. */
  gamma: number;
}

/** Options of {@link logRankMax}. */
export interface LogRankMaxOptions {
  /** Default: (0, 0), (1, 0), (0, 1), (1, 1), for a constant, early, late and middle difference. */
  weights?: TimePowers[];
  /** Draws for the p value, default 40000. */
  draws?: number;
  /** Seed of the draws, default 1. */
  seed?: number;
}

/** Result of {@link logRankMax}. */
export interface LogRankMax {
  /** Largest |z|. */
  statistic: number;
  /** Probability of a largest |z| at least as large, were the hazards equal. */
  pValue: number;
  /** Standard error of the p value from the finite number of draws. */
  pValueError: number;
  /** One weighted test each; z above 0: the second group has more events than expected. */
  tests: (TimePowers & { z: number; pValue: number })[];
  /** Correlation of the z under equal hazards, row-major. */
  correlation: Float64Array;
}

/**
 * Largest of several weighted log-rank statistics of two groups: a test that keeps power where
 * hazards cross or differ only early or late, at one honest p value.
 *
 * Under equal hazards the z are jointly normal; two tests' covariance is the sum over event times
 * of the product of their weights times the hypergeometric variance, which for Fleming-Harrington
 * weights is the variance of the test with the mean powers. The p value of the union of events
 * |z_j| >= statistic is the sum of their probabilities times the expectation of one over how many
 * occur, given that a randomly chosen one does: sampled with a fixed seed, its relative error stays
 * small however small the p value. Strata, delayed entry, ties and case weights as in logRank.
 *
 * Cost: one sort and q (q + 1) / 2 passes for q weights.
 *
 * @example
 * ```ts
 * import { logRankMax } from "mitral";
 * logRankMax({ time: [1, 2, 3, 4], event: [1, 1, 1, 1], group: [0, 1, 0, 1] }).tests.length; // 4
 * ```
 * @throws {DataError} as logRank, unless there are exactly two groups, or for no weights.
 * @see Tarone (1981) Biometrics 37:79-85; Lee (1996) Biometrics 52:721-725; for the p value, Owen,
 * Maximov & Chertkov (2019) Electron J Stat 13:231-254.
 */
export function logRankMax(data: GroupedFollowUp, options: LogRankMaxOptions = {}): LogRankMax {
  checkDataColumns("logRankMax", data, [...FOLLOW_UP, "group", "stratum"]);
  const weights = options.weights ??
    [{ rho: 0, gamma: 0 }, { rho: 1, gamma: 0 }, { rho: 0, gamma: 1 }, { rho: 1, gamma: 1 }];
  if (weights.length === 0) throw new DataError("weights", "at least one pair of powers", weights);
  const draws = checkWhole("draws", options.draws ?? 40_000, 2);
  const comparison = groupedComparison(data);
  if (comparison.labels.length !== 2) {
    throw new DataError("group", "exactly two different labels", comparison.labels.length);
  }
  const q = weights.length;
  const covariance = new Float64Array(q * q);
  const score = weights.map(({ rho, gamma }, i) => {
    const sums = logRankSums(comparison, flemingHarrington(rho, gamma));
    covariance[i * q + i] = sums.covariance[0]!;
    return sums.observed[1]! - sums.expected[1]!;
  });
  for (let i = 0; i < q; i++) {
    for (let j = 0; j < i; j++) {
      const [a, b] = [weights[i]!, weights[j]!];
      const between = flemingHarrington((a.rho + b.rho) / 2, (a.gamma + b.gamma) / 2);
      covariance[i * q + j] = covariance[j * q + i] = logRankSums(comparison, between)
        .covariance[0]!;
    }
  }
  const deviation = weights.map((_, i) => Math.sqrt(covariance[i * q + i]!));
  const correlation = covariance.map((value, place) => {
    const [i, j] = [Math.floor(place / q), place % q];
    const scale = deviation[i]! * deviation[j]!;
    return i === j ? 1 : scale > 0 ? value / scale : 0;
  });
  const z = score.map((u, i) => deviation[i]! > 0 ? u / deviation[i]! : 0);
  const statistic = Math.max(...z.map(Math.abs));
  return {
    statistic,
    ...unionProbability(statistic, correlation, new SeededRandom(options.seed ?? 1), draws),
    tests: weights.map((powers, i) => ({
      ...powers,
      z: z[i]!,
      pValue: distributions.normalTwoSided(z[i]!),
    })),
    correlation,
  };
}

/** P(some |Z_j| >= limit) for standard normals of the given correlation, by sampling. */
function unionProbability(
  limit: number,
  correlation: Float64Array,
  random: SeededRandom,
  draws: number,
): { pValue: number; pValueError: number } {
  const q = Math.sqrt(correlation.length);
  const tail = distributions.normalUpper(limit);
  // a little on the diagonal, for weights that coincide
  const { lower } = factorSymmetric(
    correlation.map((value, place) => place % (q + 1) === 0 ? 1 + 1e-9 : value),
    q,
    0,
  );
  const x = new Float64Array(q);
  const noise = new Float64Array(q);
  let sum = 0;
  let squares = 0;
  for (let draw = 0; draw < draws; draw++) {
    const chosen = draw % q;
    const reached = distributions.normalUpperQuantile(random.uniform() * tail);
    const sign = random.bernoulli(0.5) ? 1 : -1;
    for (let j = 0; j < q; j++) noise[j] = random.normal();
    for (let j = 0; j < q; j++) {
      x[j] = 0;
      for (let l = 0; l <= j; l++) x[j]! += lower[j * q + l]! * noise[l]!;
    }
    // given the chosen one: move all along their correlation with it
    const shift = sign * reached - x[chosen]!;
    let occurred = 0;
    for (let j = 0; j < q; j++) {
      const value = x[j]! + correlation[j * q + chosen]! * shift;
      if (j === chosen || Math.abs(value) >= limit) occurred++;
    }
    sum += 1 / occurred;
    squares += 1 / occurred ** 2;
  }
  const mean = sum / draws;
  const bound = 2 * tail * q;
  return {
    pValue: Math.min(1, bound * mean),
    pValueError: bound * Math.sqrt(Math.max(0, squares / draws - mean ** 2) / draws),
  };
}
