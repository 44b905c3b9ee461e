import { type ProportionOverTime, proportionOverTime } from "./proportion-over-time.ts";
import { type VisitWeights, visitWeights } from "./visit-weights.ts";

/** Time between two looks at the valve, a row each, as the cohort's visit history has them. */
export interface LookedAt {
  /** Whose row it is: its place among the weights. */
  subject: ArrayLike<number>;
  /** Years; under observation on (entry, time]. */
  entry: ArrayLike<number>;
  /** Years at which each row ends. */
  time: ArrayLike<number>;
  /** 1 where the row ends with an echocardiogram. */
  visit: ArrayLike<number>;
  /** 1 = repair. */
  treated: ArrayLike<number>;
  /** Grade last known at `entry`, and 1 where the last look was for symptoms. */
  lastGrade: ArrayLike<number>;
  /** Whether the last look was because of symptoms, 1 or 0. */
  lastForSymptoms: ArrayLike<number>;
  /** What the look at `time` showed (NaN: no grade), and 1 where it was made for symptoms. */
  grade: ArrayLike<number>;
  /** Whether a look was because of symptoms, 1 or 0. */
  forSymptoms: ArrayLike<number>;
}

/** How visits are counted: each as one, by the inverse of its rate, or those on schedule alone. */
export type VisitCounting = "as-seen" | "by-visit-rate" | "on-schedule";

/** See {@link leakAtVisits}. */
export interface LeakAtVisits {
  /** The model of what brings a visit forward, with the weight it gives each visit. */
  visits: VisitWeights;
  /** Share with the grade or worse over time, by way of counting. */
  shares: Record<VisitCounting, ProportionOverTime>;
}

/**
 * The share of those alive with the valve of the operation in whom an echocardiogram would show a
 * grade or worse, over time and by group, from all visits of all patients.
 *
 * Patients who feel unwell are looked at sooner, so visits as seen show too many leaks. Two
 * corrections stand beside them: each visit weighted by the inverse of its rate, given the
 * operation, the last grade and whether the last visit was for symptoms; and only the visits that
 * were on schedule. Both rest on what the file records of why a patient came.
 *
 * Limits are robust within patients and take the weights as known.
 *
 * @param options.weight One a row of the analysis, such as weights that make the groups alike.
 * @param options.times Years, ascending.
 * @param options.from The least grade that counts, default 2.
 * @example
 * ```ts ignore
 * import { leakAtVisits, openAnalysis, visitHistory, weightedSample } from "mitral";
 * const { analysis, study } = await openAnalysis();
 * const { weight } = weightedSample(analysis, study);
 * leakAtVisits(visitHistory(analysis), { weight, times: [1, 2, 5] }).shares["by-visit-rate"];
 * ```
 * @throws {DataError} as {@link visitWeights} and {@link proportionOverTime}.
 */
export function leakAtVisits(
  history: LookedAt,
  { weight, times, from = 2, confidence }: {
    weight: ArrayLike<number>;
    times: readonly number[];
    from?: number;
    confidence?: number;
  },
): LeakAtVisits {
  const { subject, entry, time, visit } = history;
  const flag = (holds: (row: number) => boolean) =>
    Float64Array.from(visit, (_, row) => holds(row) ? 1 : 0);
  const visits = visitWeights({
    subject,
    entry,
    time,
    visit,
    covariates: {
      repair: flag((row) => history.treated[row] === 1),
      moderate: flag((row) => history.lastGrade[row] === 2),
      severe: flag((row) => history.lastGrade[row]! >= 3),
      symptoms: flag((row) => history.lastForSymptoms[row] === 1),
    },
  }, { stabiliseBy: ["repair"], confidence });
  const graded = Array.from(visits.rows, (row, k) => ({ row, rate: visits.weight[k]! }))
    .filter(({ row }) => !Number.isNaN(history.grade[row]));
  const shares = (among: typeof graded, weigh: (rate: number) => number) =>
    proportionOverTime({
      subject: among.map(({ row }) => subject[row]!),
      time: among.map(({ row }) => time[row]!),
      outcome: among.map(({ row }) => history.grade[row]! >= from ? 1 : 0),
      group: among.map(({ row }) => history.treated[row]!),
      weight: among.map(({ row, rate }) => weigh(rate) * weight[subject[row]!]!),
    }, { times, confidence });
  const onSchedule = graded.filter(({ row }) => history.forSymptoms[row] === 0);
  return {
    visits,
    shares: {
      "as-seen": shares(graded, () => 1),
      "by-visit-rate": shares(graded, (rate) => rate),
      "on-schedule": shares(onSchedule, () => 1),
    },
  };
}
