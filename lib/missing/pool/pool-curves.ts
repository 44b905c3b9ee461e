import {
  type CauseIncidence,
  type CumulativeIncidence,
  type IncidenceAt,
  incidenceLimits,
} from "../../competing/incidence/mod.ts";
import { checkConfidence, DataError, distributions, meanOf } from "../../numerics/mod.ts";
import { type CurveAt, curveQuantile, type KaplanMeier } from "../../survival/curve/mod.ts";
import { type PoolOptions, withinOne } from "./pool-contrasts.ts";
import { rubinsRules } from "./pool-imputations.ts";

type Options = Pick<PoolOptions, "confidence" | "units">;

/** How curves are pooled. */
export type PoolCurveOptions<Curve> = Pick<PoolOptions, "confidence" | "units"> & {
  /** The curve of one sample that stands for all sets; default the first. */
  counted?: Curve;
  /** Gives the values along a curve, of one cause where there are causes, if they are known. */
  keep?: <Values>(make: () => Values, cause?: number) => Values;
};

/** Works values out. */
const anew = <Values>(make: () => Values) => make();

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
 * Times, counts and numbers at risk are those of `counted`, a sample that stands for all sets, as
 * far as the shortest curve goes. Under imputed weights the times are the same in every set.
 *
 * @throws {DataError} with fewer than two curves.
 */
export function poolSurvival(
  curves: readonly KaplanMeier[],
  options: PoolCurveOptions<KaplanMeier> = {},
): KaplanMeier {
  const whole = options.counted ?? firstOf(curves);
  const counted = { ...whole, ...asFarAs(curves, whole, survivalColumns) };
  const pooledAt = (times: ArrayLike<number>) =>
    poolValues(
      curves.map((curve) => {
        const { survival, standardError } = curve.at(times);
        return [survival, standardError];
      }),
      1,
      options,
    );
  const { time } = counted;
  const { keep = anew } = options;
  const { estimate: survival, standardError, lower, upper } = keep(() => pooledAt(time));
  return {
    ...counted,
    confidence: checkConfidence(options.confidence),
    interval: "log-log",
    survival,
    standardError,
    lower,
    upper,
    at(times): CurveAt {
      const { estimate, ...rest } = pooledAt(times);
      return { ...counted.at(times), survival: estimate, ...rest };
    },
    quantile: (p) => curveQuantile({ time, survival, lower, upper }, p),
  };
}

/**
 * Pools cumulative incidences of completed sets, point by point, as {@link poolSurvival} does.
 *
 * @throws {DataError} with fewer than two, or sets that differ in their causes.
 */
export function poolIncidence(
  sets: readonly CumulativeIncidence[],
  options: PoolCurveOptions<CumulativeIncidence> = {},
): CumulativeIncidence {
  const whole = options.counted ?? firstOf(sets);
  const counted = { ...whole, ...asFarAs(sets, whole, incidenceColumns) };
  const { time } = counted;
  const causes = counted.causes.map((own, k): CauseIncidence => {
    const each = sets.map(({ causes }) => causes[k]);
    if (each.some((other) => other?.cause !== own.cause)) {
      throw new DataError("sets", "of the same causes", own.cause);
    }
    const pooledAt = (times: ArrayLike<number>) =>
      poolValues(
        each.map((cause) => {
          const { incidence, standardError, lower, upper, few } = cause!.at(times);
          return [incidence, standardError, few && { lower, upper, few }];
        }),
        0,
        options,
      );
    // worked out when first asked for: of causes that only compete nobody does
    let made: PooledValues | undefined;
    const along = () => made ??= (options.keep ?? anew)(() => pooledAt(time), own.cause);
    return {
      cause: own.cause,
      events: own.events,
      get incidence() {
        return along().estimate;
      },
      get standardError() {
        return along().standardError;
      },
      get lower() {
        return along().lower;
      },
      get upper() {
        return along().upper;
      },
      at(times): IncidenceAt {
        const { estimate, ...rest } = pooledAt(times);
        return { ...own.at(times), incidence: estimate, ...rest };
      },
    };
  });
  let free: Float64Array | undefined;
  return {
    ...counted,
    causes,
    get eventFree() {
      return free ??= time.map((_, j) =>
        1 - causes.reduce((sum, { incidence }) => sum + incidence[j]!, 0)
      );
    },
  };
}

const survivalColumns = ["time", "atRisk", "atRiskCount", "event", "censored"] as const;
const incidenceColumns = ["time", "atRisk", "censored"] as const;

/** The columns of a curve up to where the shortest of the sets ends. */
function asFarAs<Name extends string>(
  sets: readonly { time: Float64Array }[],
  whole: Record<Name, Float64Array> & { time: Float64Array },
  names: readonly Name[],
): Record<Name, Float64Array> {
  const end = Math.min(...sets.map(({ time }) => time.at(-1)!));
  const rows = whole.time.filter((time) => time <= end).length;
  return Object.fromEntries(names.map((name) => [name, whole[name].subarray(0, rows)])) as Record<
    Name,
    Float64Array
  >;
}

function firstOf<C>(curves: readonly C[]): C {
  const [first] = curves;
  if (first === undefined || curves.length < 2) {
    throw new DataError("curves", "of at least two completed sets", curves.length);
  }
  return first;
}

/** Limits of each set, and where they are those of few events. */
interface FewLimits {
  lower: Float64Array;
  upper: Float64Array;
  few: Uint8Array;
}

/** `start`: the value before any event, where a curve has no error and no width. */
function poolValues(
  sets: readonly (readonly [values: Float64Array, errors: Float64Array, limits?: FewLimits])[],
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
  const complete = units === undefined ? Infinity : Math.max(1, units - 2);
  for (let j = 0; j < size; j++) {
    const estimates = sets.map(([values]) => values[j]!);
    const variances = sets.map(([, errors]) => errors[j]! ** 2);
    pooled.estimate[j] = meanOf(estimates);
    if (sets.some(([, , limits]) => limits?.few[j] === 1)) {
      const own = withinOne(
        sets.map(([, , limits], k) => ({
          estimate: estimates[k]!,
          standardError: Math.sqrt(variances[k]!),
          lower: limits!.lower[j]!,
          upper: limits!.upper[j]!,
        })),
        { confidence, units },
      );
      pooled.standardError[j] = own.standardError;
      pooled.lower[j] = own.lower;
      pooled.upper[j] = own.upper;
      continue;
    }
    if (estimates.every((value) => value === start)) {
      pooled.standardError[j] = 0;
      pooled.lower[j] = pooled.upper[j] = start;
      continue;
    }
    if (!estimates.every(Number.isFinite) || !variances.every((v) => v > 0 && v < Infinity)) {
      continue;
    }
    const { estimate, standardError, degreesOfFreedom } = rubinsRules(
      estimates,
      variances,
      complete,
    );
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
