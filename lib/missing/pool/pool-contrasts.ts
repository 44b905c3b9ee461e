import { incidenceLimits } from "../../competing/incidence/mod.ts";
import { DataError, distributions, type Interval, meanOf } from "../../numerics/mod.ts";
import { poolImputations } from "./pool-imputations.ts";

/** Two groups and what lies between them, as the estimators of this library give it. */
export interface Contrast {
  /** Each group with its limits. */
  groups: (Interval & { group: string | number; fewEvents?: boolean })[];
  /** Of the estimates; plain limits, or those of few events. */
  difference: Interval & { pValue: number };
  /** Standard error and limits of the logarithm. */
  ratio?: Interval & { pValue: number };
  /** Whether limits are those of few events, longer to one side. */
  fewEvents?: boolean;
}

/** What pooling adds to an interval. */
export interface Pooled {
  /** Degrees of freedom. */
  degreesOfFreedom: number;
  /** Share of the information that the missing values took away. */
  fractionMissing: number;
}

/** A contrast pooled over completed sets, with all that it had in the first of them. */
export type PooledContrast<C extends Contrast> = C & {
  difference: Pooled;
  /** Completed sets. */
  sets: number;
};

/** How contrasts of several completed sets become one. */
export interface PoolOptions {
  /** Level of the limits, default 0.95. */
  confidence?: number;
  /** Independent units: patients, pairs. Degrees of freedom of complete data are 2 less. */
  units?: number;
  /** Limits of the groups: "log-log" for probabilities, "plain" for means. Default "log-log". */
  groups?: "log-log" | "plain";
}

/** How a contrast is pooled. */
export interface PoolContrastOptions<C> extends PoolOptions {
  /**
   * The same contrast in one sample that stands for all sets: what is counted is taken from it.
   * Default the first set's.
   */
  counted?: C;
}

/**
 * Pools an estimate with its limits over completed sets by Rubin's rules with the degrees of
 * freedom of Barnard and Rubin. NaN, as an estimate past the end of follow-up is, where it is NaN
 * in a set.
 *
 * @param options.scale "log" for ratios whose standard error is of the logarithm.
 * @throws {DataError} with fewer than two sets.
 */
export function poolIntervals(
  sets: readonly Interval[],
  options: PoolOptions & { scale?: "plain" | "log" } = {},
): Interval & Pooled & { pValue: number } {
  if (sets.length < 2) throw new DataError("sets", "at least two completed sets", sets);
  const log = options.scale === "log";
  const estimates = sets.map(({ estimate }) => log ? Math.log(estimate) : estimate);
  const errors = sets.map(({ standardError }) => standardError);
  const nothing = {
    estimate: NaN,
    standardError: NaN,
    lower: NaN,
    upper: NaN,
    pValue: NaN,
    degreesOfFreedom: NaN,
    fractionMissing: NaN,
  };
  if (![...estimates, ...errors].every(Number.isFinite)) return nothing;
  if (errors.some((error) => error <= 0)) {
    // without an error in some set there is an estimate, and nothing said of how sure it is
    const mean = meanOf(estimates);
    return { ...nothing, estimate: log ? Math.exp(mean) : mean };
  }
  const { units } = options;
  const pooled = poolImputations({
    estimates,
    variances: errors.map((error) => error ** 2),
    ...(units === undefined ? {} : { completeDegreesOfFreedom: Math.max(1, units - 2) }),
  }, { confidence: options.confidence });
  const { standardError, pValue, degreesOfFreedom, fractionMissing } = pooled;
  const back = (value: number) => log ? Math.exp(value) : value;
  return {
    estimate: back(pooled.estimate),
    standardError,
    lower: back(pooled.lower),
    upper: back(pooled.upper),
    pValue,
    degreesOfFreedom,
    fractionMissing,
  };
}

/**
 * Pools a comparison of two groups over completed sets: each group, the difference and, on the log
 * scale, the ratio. All else is as in the first set.
 *
 * Estimates are averaged on their own scale and limits of the groups formed afterwards, so that
 * difference and groups agree. Where events are few in a set, limits reach further to one side, and
 * each side is pooled for itself, as in `poolReaches`.
 *
 * @example
 * ```ts ignore
 * import { poolContrasts, survivalDifference } from "mitral";
 * const pooled = poolContrasts(sets.map((set) => survivalDifference(set, { times: [5] })));
 * pooled[0]?.difference.fractionMissing;
 * ```
 * @throws {DataError} with fewer than two sets, or sets that differ in their groups.
 * @see Rubin (1987); Barnard & Rubin (1999) Biometrika 86:948-955.
 */
export function poolContrast<C extends Contrast>(
  sets: readonly C[],
  options: PoolContrastOptions<C> = {},
): PooledContrast<C> {
  const first = options.counted ?? sets[0];
  if (!first) throw new DataError("sets", "at least two completed sets", sets);
  const differences = sets.map((set) => set.difference);
  const difference = sets.some(({ fewEvents }) => fewEvents)
    ? poolReaches(differences, options)
    : poolIntervals(differences, options);
  const ratios = sets.map(({ ratio }) => ratio).filter((ratio) => ratio !== undefined);
  const ratio = ratios.length === sets.length
    ? poolIntervals(ratios, { ...options, scale: "log" })
    : undefined;
  const groups = first.groups.map((own, k) => {
    const members = sets.map((set) => set.groups[k]);
    if (members.some((member) => member?.group !== own.group)) {
      throw new DataError("sets", "of the same two groups", own.group);
    }
    const few = sets.some((set) => set.groups[k]!.fewEvents);
    return { ...own, ...(few ? withinOne : poolGroup)(members as Interval[], options) };
  });
  return {
    ...first,
    groups,
    difference: { ...first.difference, ...difference },
    ...(ratio ? { ratio: { ...first.ratio, ...ratio } } : {}),
    sets: sets.length,
  };
}

/**
 * Pools limits that reach further to one side: how far each limit lies from its estimate is taken
 * as so many standard errors, and Rubin's rules are applied to either side.
 *
 * The p value is of the side on which 0 lies. An estimate without an event in any set keeps the
 * limits that say what could have been.
 */
function poolReaches(
  sets: readonly Interval[],
  options: PoolOptions,
): ReturnType<typeof poolIntervals> {
  const quantile = distributions.normalUpperQuantile((1 - (options.confidence ?? 0.95)) / 2);
  const side = (limit: "lower" | "upper") =>
    poolIntervals(
      sets.map(({ estimate, lower, upper, [limit]: end }) => ({
        estimate,
        standardError: Math.max(1e-9, Math.abs(end - estimate) / quantile),
        lower,
        upper,
      })),
      options,
    );
  const [below, above] = [side("lower"), side("upper")];
  const towards = below.estimate > 0 ? below : above;
  const pooled = poolIntervals(sets, options).standardError;
  // without an event in a set it has no normal error; with none in any it is 0
  const none = sets.every(({ standardError }) => standardError === 0);
  return { ...towards, standardError: none ? 0 : pooled, lower: below.lower, upper: above.upper };
}

/** A group with few events: limits pooled to either side, within 0 and 1. */
export function withinOne(members: Interval[], options: PoolOptions): Interval {
  const { estimate, standardError, lower, upper } = poolReaches(members, options);
  // a group without an event has nothing below 0 to reach for
  return {
    estimate,
    standardError,
    lower: estimate === 0 ? 0 : Math.max(0, lower),
    upper: estimate === 1 ? 1 : Math.min(1, upper),
  };
}

/**
 * How many times as large an error becomes by what completed sets differ in: the square root of
 * Rubin's total variance over the mean variance within sets.
 */
export function widening(
  sets: readonly Pick<Interval, "estimate" | "standardError">[],
): number {
  const mean = meanOf(sets.map(({ estimate }) => estimate));
  const within = meanOf(sets.map(({ standardError }) => standardError ** 2));
  const between = sets.reduce((sum, { estimate }) => sum + (estimate - mean) ** 2, 0) /
    (sets.length - 1);
  return within > 0 ? Math.sqrt(1 + (1 + 1 / sets.length) * between / within) : 1;
}

/** {@link poolContrast} at each of several times. */
export function poolContrasts<C extends Contrast>(
  sets: readonly (readonly C[])[],
  { counted, ...options }: PoolOptions & { counted?: readonly C[] } = {},
): PooledContrast<C>[] {
  const count = sets[0]?.length ?? 0;
  if (sets.some(({ length }) => length !== count)) {
    throw new DataError("sets", "of as many contrasts each", sets.map(({ length }) => length));
  }
  return Array.from({ length: count }, (_, k) =>
    poolContrast(sets.map((set) => set[k]!), {
      ...options,
      ...(counted?.[k] && { counted: counted[k] }),
    }));
}

function poolGroup(members: Interval[], options: PoolOptions): Interval {
  const pooled = poolIntervals(members, options);
  const { estimate, standardError, lower, upper, degreesOfFreedom } = pooled;
  if (options.groups === "plain") return { estimate, standardError, lower, upper };
  const tail = (1 - (options.confidence ?? 0.95)) / 2;
  const quantile = degreesOfFreedom < Infinity
    ? distributions.studentUpperQuantile(tail, degreesOfFreedom)
    : distributions.normalUpperQuantile(tail);
  const [low, high] = incidenceLimits(estimate, standardError, quantile, "log-log");
  return { estimate, standardError, lower: low, upper: high };
}
