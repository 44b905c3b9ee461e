import * as mitral from "mitral";
import { daysPerYear } from "../../../lib/simulate/mechanism/outcomes.ts";
import {
  type CohortParameters,
  cohortParameters,
} from "../../../lib/simulate/mechanism/parameters.ts";
import { type PatientTruth, simulateCohort } from "../../../lib/simulate/rows/simulate-cohort.ts";
import { readBack } from "../read-back.ts";

/** The incidence of recurrence after repair in one cohort, by one way of dating it. */
export interface DatedIncidence {
  method: mitral.RecurrenceMethod | "death-rate-held";
  time: number;
  incidence: number;
  /** In these very patients, had nobody been lost: by true onset, and by the day of finding. */
  onset: number;
  found: number;
}

/** How a way of dating did over the cohorts. */
export interface DatingPerformance {
  method: DatedIncidence["method"];
  time: number;
  cohorts: number;
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
 * The cohort as it would be if visits had nothing to do with the valve and no echo were misread:
 * symptoms bring nobody sooner, no grade is read lower, no recurrence falls back to mild.
 */
export const idealVisits: CohortParameters = {
  ...cohortParameters,
  visits: {
    ...cohortParameters.visits,
    symptomRate: cohortParameters.visits.symptomRate.map(() =>
      cohortParameters.visits.symptomRate[0]!
    ),
    symptomsInHighNyha: 1,
    beforeReoperation: 0,
  },
  course: { ...cohortParameters.course, readLower: 0, regresses: 0 },
};

/** Ways of dating recurrence in one cohort with ideal visits. */
export async function datedWithIdealVisits(seed: number): Promise<DatedIncidence[]> {
  const simulated = simulateCohort({ seed, parameters: idealVisits });
  const analysis = await readBack(simulated);
  return datedIncidence(analysis, Array.from(analysis.rows, (row) => simulated.truth[row]!));
}

/**
 * Recurrence after an intended repair, without weights: by the interval-censored estimate, with the
 * death rates before and after recurrence also held equal, and by the shortcuts.
 *
 * Follow-up ends at a reintervention, since echoes after it are of another valve.
 *
 * @param truth One a row of the analysis.
 */
export function datedIncidence(
  analysis: mitral.Analysis,
  truth: readonly PatientTruth[],
): DatedIncidence[] {
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
    time: pick((row) => (isAgain(row) ? reintervention[row]! : end[row]!) / daysPerYear),
    death: pick((row) => isAgain(row) ? 0 : dead[row]!),
  };
  const patients = repaired.map((i) => truth[intervals.rows[i]!]!);
  const onset = shareBy(patients, onsetDay);
  const lastDay = Math.floor(Math.max(...times) * daysPerYear);
  const found = shareBy(patients, (one) => one.discoveredUnder("repair", lastDay).day);
  const held = mitral.intervalCensoredIncidence(data, { deathRateRatio: 1 }).at(times);
  return [
    ...mitral.recurrenceShortcuts(data, { times }),
    { method: "death-rate-held" as const, incidence: held.incidence },
  ].flatMap(({ method, incidence }) =>
    times.map((time, k) => ({
      method,
      time,
      incidence: incidence[k]!,
      onset: onset[k]!,
      found: found[k]!,
    }))
  );
}

/** Day of true recurrence under a repair, unless death or another reoperation came first. */
function onsetDay({ potential: { repair } }: PatientTruth): number {
  const day = repair.onset * daysPerYear;
  const other = repair.reoperationReason === "MR" ? Infinity : repair.reoperationDay;
  return day < Math.min(repair.deathDay, other) ? day : Infinity;
}

function shareBy(patients: PatientTruth[], dayOf: (one: PatientTruth) => number): number[] {
  const days = patients.map(dayOf);
  return times.map((years) => {
    const horizon = Math.floor(years * daysPerYear);
    return days.reduce((sum, day) => sum + (day <= horizon ? 1 : 0), 0) / days.length;
  });
}

/** Bias of each way of dating against true onset in the same patients. */
export function datingPerformance(cohorts: DatedIncidence[][]): DatingPerformance[] {
  return (cohorts[0] ?? []).map(({ method, time }, place) => {
    const own = cohorts.map((cohort) => cohort[place]!);
    const mean = (value: (one: DatedIncidence) => number) =>
      own.reduce((sum, one) => sum + value(one), 0) / own.length;
    const deviation = (value: (one: DatedIncidence) => number) => {
      const centre = mean(value);
      return Math.sqrt(mean((one) => (value(one) - centre) ** 2) * own.length / (own.length - 1));
    };
    const error = (one: DatedIncidence) => one.incidence - one.onset;
    return {
      method,
      time,
      cohorts: own.length,
      onset: mean((one) => one.onset),
      found: mean((one) => one.found),
      mean: mean((one) => one.incidence),
      bias: mean(error),
      biasError: deviation(error) / Math.sqrt(own.length),
      empirical: deviation((one) => one.incidence),
    };
  });
}
