import * as mitral from "mitral";
import type { TrueAnswers } from "../../lib/simulate/true-answers.ts";

/** The incidence of recurrence after repair in one cohort, by one way of dating it. */
export interface DatedIncidence {
  method: mitral.RecurrenceMethod | "death-rate-held";
  time: number;
  incidence: number;
}

/** How a way of dating did over the cohorts. */
export interface DatingPerformance {
  method: DatedIncidence["method"];
  time: number;
  cohorts: number;
  /** By true onset, and by the day on which the visits of these cohorts find it. */
  onset: number;
  found: number;
  mean: number;
  /** Against true onset. */
  bias: number;
  biasError: number;
  empirical: number;
}

const times = [1, 5, 10];

/**
 * Recurrence after an intended repair, without weights: by the interval-censored estimate, with the
 * death rates before and after recurrence also held equal, and by the shortcuts.
 *
 * Follow-up ends at a reintervention, since echoes after it are of another valve.
 */
export function datedIncidence(analysis: mitral.Analysis): DatedIncidence[] {
  const intervals = mitral.recurrenceIntervals(analysis);
  const column = (name: string) => mitral.numericColumn(analysis, name);
  const [end, dead, reintervention] = [column("fu_days"), column("dead"), column("reint_day")];
  const repaired = Array.from(intervals.rows.keys()).filter((i) => intervals.treated[i] === 1);
  const pick = (value: (row: number, i: number) => number) =>
    Float64Array.from(repaired, (i) => value(intervals.rows[i]!, i));
  const isAgain = (row: number) => reintervention[row]! >= 0;
  const data: mitral.VisitFollowUp = {
    lastClear: pick((_, i) => intervals.lower[i]!),
    found: pick((_, i) => intervals.upper[i]!),
    time: pick((row) => (isAgain(row) ? reintervention[row]! : end[row]!) / 365.25),
    death: pick((row) => isAgain(row) ? 0 : dead[row]!),
  };
  const held = mitral.intervalCensoredIncidence(data, { deathRateRatio: 1 }).at(times).incidence;
  return [
    ...mitral.recurrenceShortcuts(data, { times }).flatMap(({ method, incidence }) =>
      times.map((time, k) => ({ method, time, incidence: incidence[k]! }))
    ),
    ...times.map((time, k) => ({
      method: "death-rate-held" as const,
      time,
      incidence: held[k]!,
    })),
  ];
}

/** Bias of each way of dating against true onset, where the repairs of a cohort tend to. */
export function datingPerformance(
  cohorts: DatedIncidence[][],
  { populations, horizons }: TrueAnswers,
): DatingPerformance[] {
  const { recurrence, recurrenceFound } = populations.unadjusted;
  return (cohorts[0] ?? []).map(({ method, time }, place) => {
    const values = cohorts.map((cohort) => cohort[place]!.incidence);
    const n = values.length;
    const mean = values.reduce((sum, x) => sum + x, 0) / n;
    const squares = values.reduce((sum, x) => sum + (x - mean) ** 2, 0);
    const empirical = Math.sqrt(squares / (n - 1));
    const onset = recurrence.repair[horizons.indexOf(time)]!;
    return {
      method,
      time,
      cohorts: n,
      onset: onset.estimate,
      found: recurrenceFound.repair[horizons.indexOf(time)]!.estimate,
      mean,
      bias: mean - onset.estimate,
      biasError: Math.hypot(empirical / Math.sqrt(n), onset.standardError),
      empirical,
    };
  });
}
