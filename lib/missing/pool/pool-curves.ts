import {
  type CauseIncidence,
  type CumulativeIncidence,
  type IncidenceAt,
  incidenceLimits,
} from "../../competing/incidence/mod.ts";
import {
  checkConfidence,
  checkNumber,
  DataError,
  distributions,
  meanOf,
} from "../../numerics/mod.ts";
import { crossing, type CurveAt, type KaplanMeier } from "../../survival/curve/mod.ts";
import type { PoolOptions } from "./pool-contrasts.ts";
import { poolImputations } from "./pool-imputations.ts";

type Options = Pick<PoolOptions, "confidence" | "units">;

/** Values of one curve at some times, with limits. */
interface PooledValues {
  estimate: Float64Array;
  standardError: Float64Array;
  lower: Float64Array;
  upper: Float64Array;
}

/**
 * Pools Kaplan-Meier curves of completed sets, point by point, by Rubin's rules; limits log-log.
 *
 * The curve has a row for each time of any of the sets, as far as all of them go; numbers at risk are means over the sets.
 * Where sets differ in weights alone, as under imputed scores, times and counts are those of each.
 *
 * @throws {DataError} with fewer than two curves.
 */
export function poolSurvival(curves: readonly KaplanMeier[], options: Options = {}): KaplanMeier {
  const first = firstOf(curves);
  const time = everyTime(curves);
  const at = (times: ArrayLike<number>): CurveAt => {
    const each = curves.map((curve) => curve.at(times));
    const pooled = poolValues(
      each.map(({ survival, standardError }) => [survival, standardError]),
      1,
      options,
    );
    return {
      time: each[0]!.time,
      survival: pooled.estimate,
      standardError: pooled.standardError,
      lower: pooled.lower,
      upper: pooled.upper,
      atRisk: meansOf(each.map(({ atRisk }) => atRisk)),
      atRiskCount: meansOf(each.map(({ atRiskCount }) => atRiskCount)).map(Math.round),
    };
  };
  const { survival, standardError, lower, upper, atRisk, atRiskCount } = at(time);
  return {
    ...first,
    n: Math.round(meanOf(curves.map(({ n }) => n))),
    events: Math.round(meanOf(curves.map(({ events }) => events))),
    confidence: checkConfidence(options.confidence),
    interval: "log-log",
    time,
    survival,
    standardError,
    lower,
    upper,
    atRisk,
    atRiskCount,
    event: onTimes(time, curves.map((curve) => ({ time: curve.time, values: curve.event }))),
    censored: onTimes(time, curves.map((curve) => ({ time: curve.time, values: curve.censored }))),
    at,
    quantile(p) {
      checkNumber("p", p, (value) => value > 0 && value < 1, "between 0 and 1");
      return {
        estimate: crossing(time, survival, 1 - p),
        lower: crossing(time, lower, 1 - p),
        upper: crossing(time, upper, 1 - p),
      };
    },
  };
}

/**
 * Pools cumulative incidences of completed sets, point by point, as {@link poolSurvival} does.
 *
 * @throws {DataError} with fewer than two, or sets that differ in their causes.
 */
export function poolIncidence(
  sets: readonly CumulativeIncidence[],
  options: Options = {},
): CumulativeIncidence {
  const first = firstOf(sets);
  const time = everyTime(sets);
  const causes = first.causes.map((own, k): CauseIncidence => {
    const each = sets.map(({ causes }) => causes[k]);
    if (each.some((other) => other?.cause !== own.cause)) {
      throw new DataError("sets", "of the same causes", own.cause);
    }
    const at = (times: ArrayLike<number>): IncidenceAt => {
      const values = each.map((cause) => cause!.at(times));
      const pooled = poolValues(
        values.map(({ incidence, standardError }) => [incidence, standardError]),
        0,
        options,
      );
      const { estimate: incidence, ...rest } = pooled;
      const atRisk = meansOf(values.map(({ atRisk }) => atRisk));
      return { time: values[0]!.time, incidence, ...rest, atRisk };
    };
    const { incidence, standardError, lower, upper } = at(time);
    const events = Math.round(meanOf(each.map((cause) => cause!.events)));
    return { ...own, events, incidence, standardError, lower, upper, at };
  });
  const atRisk = meansOf(sets.map((set) => set.causes[0]!.at(time).atRisk));
  return {
    ...first,
    n: Math.round(meanOf(sets.map(({ n }) => n))),
    time,
    atRisk,
    censored: onTimes(time, sets.map((set) => ({ time: set.time, values: set.censored }))),
    eventFree: time.map((_, j) => 1 - causes.reduce((sum, cause) => sum + cause.incidence[j]!, 0)),
    causes,
  };
}

function firstOf<C>(curves: readonly C[]): C {
  const [first] = curves;
  if (first === undefined || curves.length < 2) {
    throw new DataError("curves", "of at least two completed sets", curves.length);
  }
  return first;
}

/** `start`: the value before any event, where a curve has no error and no width. */
function poolValues(
  sets: readonly (readonly [values: Float64Array, errors: Float64Array])[],
  start: 0 | 1,
  { confidence, units }: Options,
): PooledValues {
  const size = sets[0]![0].length;
  const pooled: PooledValues = {
    estimate: new Float64Array(size),
    standardError: new Float64Array(size).fill(NaN),
    lower: new Float64Array(size).fill(NaN),
    upper: new Float64Array(size).fill(NaN),
  };
  const tail = (1 - checkConfidence(confidence)) / 2;
  const complete = units === undefined ? {} : {
    completeDegreesOfFreedom: Math.max(1, units - 2),
  };
  for (let j = 0; j < size; j++) {
    const estimates = sets.map(([values]) => values[j]!);
    const variances = sets.map(([, errors]) => errors[j]! ** 2);
    pooled.estimate[j] = meanOf(estimates);
    if (estimates.every((value) => value === start)) {
      pooled.standardError[j] = 0;
      pooled.lower[j] = pooled.upper[j] = start;
      continue;
    }
    if (!estimates.every(Number.isFinite) || !variances.every((v) => v > 0 && v < Infinity)) {
      continue;
    }
    const { estimate, standardError, degreesOfFreedom } = poolImputations({
      estimates,
      variances,
      ...complete,
    }, { confidence });
    const quantile = degreesOfFreedom < Infinity
      ? distributions.studentUpperQuantile(tail, degreesOfFreedom)
      : distributions.normalUpperQuantile(tail);
    const [lower, upper] = incidenceLimits(estimate, standardError, quantile, "log-log");
    pooled.standardError[j] = standardError;
    pooled.lower[j] = lower;
    pooled.upper[j] = upper;
  }
  return pooled;
}

/** Times of any set, up to the first at which one of them ends. */
function everyTime(curves: readonly { time: Float64Array }[]): Float64Array {
  const end = Math.min(...curves.map(({ time }) => time.at(-1)!));
  const times = new Set<number>();
  for (const { time } of curves) for (const t of time) if (t <= end) times.add(t);
  return Float64Array.from(times).sort();
}

/** Mean over the sets of what happened at each time; 0 in a set without that time. */
function onTimes(
  time: Float64Array,
  sets: readonly { time: Float64Array; values: Float64Array }[],
): Float64Array {
  const place = new Map(Array.from(time, (t, j) => [t, j]));
  const total = new Float64Array(time.length);
  for (const set of sets) {
    set.values.forEach((value, j) => {
      const at = place.get(set.time[j]!);
      if (at !== undefined) total[at]! += value / sets.length;
    });
  }
  return total;
}

function meansOf(columns: readonly Float64Array[]): Float64Array {
  return columns[0]!.map((_, j) => meanOf(columns.map((column) => column[j]!)));
}
