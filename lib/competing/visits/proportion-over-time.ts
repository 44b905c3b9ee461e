import {
  binaryColumn,
  checkConfidence,
  checkDataColumns,
  checkLength,
  DataError,
  directionOf,
  distributions,
  groupColumn,
  type Labels,
  numberColumn,
  type Numbers,
  quadraticForm,
} from "../../numerics/mod.ts";
import { logisticRegression, splineBasis, splineKnots } from "../../regression/models/mod.ts";

/** What visits showed: one row a visit. */
export interface VisitOutcomes {
  /** Patient of each row. */
  subject: Labels;
  /** When the visit was, from the same origin for all. */
  time: Numbers;
  /** 1 where the visit showed it (grade 2+ or worse), else 0. */
  outcome: Numbers;
  /** Group of each row. */
  group: Labels;
  /** Such as {@link visitWeights}, taken as known. */
  weight?: Numbers;
}

/** One group's smooth proportion at the times asked for. */
export interface ProportionCurve {
  /** Label of the group. */
  group: string | number;
  /** Echocardiograms. */
  visits: number;
  /** Visits with the outcome. */
  events: number;
  /** Times, in the unit given. */
  time: Float64Array;
  /** Proportion at each time, 0 to 1. */
  proportion: Float64Array;
  /** Standard errors of the estimates. */
  standardError: Float64Array;
  /** Lower limits. */
  lower: Float64Array;
  /** Upper limits. */
  upper: Float64Array;
  /** Whether the search for the estimate came to its end. */
  converged: boolean;
  /** Why not, when `converged` is false: the curve is then flat or NaN, without limits. */
  reason?: string;
}

/** See {@link proportionOverTime}. */
export interface ProportionOverTime {
  /** In label order. */
  groups: ProportionCurve[];
  /** Where there are two groups: the second minus the first, unless `reference` is the second. */
  difference?: {
    /** Such as "repair - replacement": which group is taken from which. */
    direction: string;
    time: Float64Array;
    estimate: Float64Array;
    standardError: Float64Array;
    lower: Float64Array;
    upper: Float64Array;
  };
  /** Where the curve may bend, in the unit of the measurement. */
  knots: number[];
}

/**
 * Proportion with a finding over time, smooth, from visits at uneven times.
 *
 * In each group log(p / (1 - p)) is a restricted cubic spline of time, fitted to all visits at once
 * with working independence (generalised estimating equations); errors are robust within subjects.
 * Limits on the logit scale; those of the difference plain. With inverse-intensity weights it
 * estimates what visits at random would have shown; their own estimation is not in the errors,
 * which is a guide, usually on the wide side.
 *
 * Of those alive and under observation at each time: who died is in no denominator. A group without
 * the finding (or with nothing else) has a flat curve without limits, one whose model has no finite
 * fit has none (NaN), and `reason` says so.
 * Cost: a logistic regression a group.
 *
 * @param options.knots Default: four, at quantiles of all visit times.
 * @example
 * ```ts
 * import { proportionOverTime } from "mitral";
 * const subject = [1, 1, 2, 2, 3, 3, 4, 4, 5, 5, 6, 6];
 * const time = [0.5, 2, 1, 4, 2, 5, 1, 3, 0.5, 6, 2, 4];
 * const outcome = [0, 1, 0, 0, 1, 1, 0, 1, 0, 0, 1, 0];
 * const group = [0, 0, 1, 1, 0, 0, 1, 1, 0, 0, 1, 1];
 * const weight = [1, 2, 1, 1, 2, 1, 1, 1, 2, 1, 1, 1];
 * proportionOverTime({ subject, time, outcome, group, weight }, { times: [1, 5] }).groups;
 * ```
 * @throws {DataError} on values out of range or a subject in two groups.
 * @see Liang & Zeger (1986) Biometrika 73:13-22; weighted by visit intensity: Buzkova & Lumley
 * (2007) Can J Stat 35:485-500.
 */
export function proportionOverTime(
  data: VisitOutcomes,
  options: {
    times: Numbers;
    knots?: number[];
    confidence?: number;
    reference?: string | number;
  },
): ProportionOverTime {
  checkDataColumns("proportionOverTime", data, ["subject", "time", "outcome", "group", "weight"]);
  const z = distributions.normalUpperQuantile((1 - checkConfidence(options.confidence)) / 2);
  const time = numberColumn("time", data.time, { min: 0 });
  const n = time.length;
  const outcome = binaryColumn("outcome", data.outcome, n);
  checkLength("subject", data.subject, n);
  const { codes, labels } = groupColumn("group", data.group, n);
  const weight = data.weight && numberColumn("weight", data.weight, { length: n, above: 0 });
  checkOneGroupEach(data.subject, codes);
  const times = Float64Array.from(numberColumn("times", options.times, { min: 0 }));
  const knots = options.knots ?? splineKnots(time, 4);
  const basisAt = named(splineBasis(times, knots));
  const groups = labels.map((group, code): ProportionCurve => {
    const rows = Array.from({ length: n }, (_, i) => i).filter((i) => codes[i] === code);
    const pick = (column: Float64Array) => Float64Array.from(rows, (i) => column[i]!);
    const own = Uint8Array.from(rows, (i) => outcome[i]!);
    const events = own.reduce((sum, y) => sum + y, 0);
    const column = (value: (t: number) => number) => Float64Array.from(times, (_, t) => value(t));
    const curve = { group, visits: rows.length, events, time: times };
    const flat = (level: number, reason: string): ProportionCurve => ({
      ...curve,
      proportion: column(() => level),
      standardError: column(() => NaN),
      lower: column(() => NaN),
      upper: column(() => NaN),
      converged: false,
      reason,
    });
    if (events === 0) return flat(0, "no visit of the group showed it");
    if (events === rows.length) return flat(1, "every visit of the group showed it");
    const fit = logisticRegression({
      outcome: own,
      covariates: named(splineBasis(pick(time), knots)),
      ...(weight && { weight: pick(weight) }),
      cluster: rows.map((i) => data.subject[i]!),
    });
    // what a search reached that found no end is no estimate
    if (!fit.converged) return flat(NaN, fit.reason ?? "no convergence");
    const proportion = fit.probabilityFor(basisAt);
    const kept = fit.terms.slice(1).map(({ name }) => basisAt[name]!);
    const logitError = column((t) =>
      Math.sqrt(quadraticForm([1, ...kept.map((values) => values[t]!)], fit.robustCovariance!))
    );
    const limit = (sign: number) =>
      column((t) => {
        const p = proportion[t]!;
        return 1 / (1 + (1 - p) / p * Math.exp(-sign * z * logitError[t]!));
      });
    return {
      ...curve,
      proportion,
      standardError: column((t) => proportion[t]! * (1 - proportion[t]!) * logitError[t]!),
      lower: limit(-1),
      upper: limit(1),
      converged: true,
    };
  });
  if (groups.length !== 2) return { groups, knots };
  const { from, to, direction } = directionOf(labels, options.reference);
  const [first, second] = [groups[from]!, groups[to]!];
  const estimate = times.map((_, t) => second.proportion[t]! - first.proportion[t]!);
  const standardError = times.map((_, t) =>
    Math.hypot(first.standardError[t]!, second.standardError[t]!)
  );
  return {
    groups,
    difference: {
      direction,
      time: times,
      estimate,
      standardError,
      lower: estimate.map((d, t) => d - z * standardError[t]!),
      upper: estimate.map((d, t) => d + z * standardError[t]!),
    },
    knots,
  };
}

function named(columns: Float64Array[]): Record<string, Float64Array> {
  return Object.fromEntries(columns.map((column, j) => [`time${j}`, column]));
}

function checkOneGroupEach(subject: Labels, codes: Int32Array): void {
  const seen = new Map<string | number, number>();
  for (let i = 0; i < codes.length; i++) {
    const known = seen.get(subject[i]!);
    if (known !== undefined && known !== codes[i]) {
      throw new DataError("group", "the same on all visits of a subject", codes[i], i);
    }
    seen.set(subject[i]!, codes[i]!);
  }
}
