import { quartilesOf } from "../../numerics/mod.ts";
import { daysPerYear, valveDays } from "./course.ts";
import { type Analysis, type Arm, hasColumn, numericColumn, textColumn } from "../model/mod.ts";

/** Echo visits of one group, with the time in which they could be made. */
export interface EchoScheduleRow {
  /** Which of the two groups. */
  arm: Arm;
  /** How many patients. */
  patients: number;
  /** Years under observation with the valve of the operation: to reintervention or end. */
  patientYears: number;
  /** Echocardiograms. */
  visits: number;
  /** Visits that were due. */
  scheduled: number;
  /** Visits because of symptoms. */
  symptoms: number;
  /** Visits whose reason is not known. */
  reasonUnknown: number;
  /** Visits in 100 patient-years; NaN without patient-years. */
  per100PatientYears: number;
  /** Patients without one echo after the day of operation. */
  neverSeen: number;
  /** Years between the last echo and the end, over all patients: quartiles. */
  sinceLastVisit: { lower: number; median: number; upper: number };
}

/**
 * How often the valve was looked at, by group. Recurrence is found only when somebody looks, so
 * that a group looked at more often seems to leak more.
 *
 * Counts visits after day 0 and up to a reintervention, whose valve they no longer show. Who was
 * never seen has the whole follow-up as time since the last visit.
 */
export function echoSchedule(analysis: Analysis): EchoScheduleRow[] {
  const end = valveDays(analysis);
  const { offsets, day, columns } = analysis.visits;
  const reason = hasColumn({ columns }, "reason") ? textColumn({ columns }, "reason") : [];
  return (["repair", "replacement"] as const).map((arm) => {
    const wanted = arm === "repair" ? 1 : 0;
    const row: EchoScheduleRow = {
      arm,
      patients: 0,
      patientYears: 0,
      visits: 0,
      scheduled: 0,
      symptoms: 0,
      reasonUnknown: 0,
      per100PatientYears: NaN,
      neverSeen: 0,
      sinceLastVisit: { lower: NaN, median: NaN, upper: NaN },
    };
    const since: number[] = [];
    let days = 0;
    for (let i = 0; i < analysis.n; i++) {
      if (analysis.treated[i] !== wanted) continue;
      row.patients++;
      days += end[i]!;
      let last = 0;
      for (let at = offsets[i]!; at < offsets[i + 1]!; at++) {
        if (day[at] === 0 || day[at]! > end[i]!) continue;
        row.visits++;
        if (reason[at] === "scheduled") row.scheduled++;
        else if (reason[at] === "symptoms") row.symptoms++;
        else row.reasonUnknown++;
        last = day[at]!;
      }
      if (last === 0) row.neverSeen++;
      since.push((end[i]! - last) / daysPerYear);
    }
    row.patientYears = days / daysPerYear;
    if (days > 0) row.per100PatientYears = 100 * row.visits / row.patientYears;
    row.sinceLastVisit = quartilesOf(since);
    return row;
  });
}

/** Follow-up that was had and that could have been had, for one group. */
export interface CompletenessRow {
  /** Which of the two groups. */
  arm: Arm;
  /** How many patients. */
  patients: number;
  /** Patient-years observed. */
  observedYears: number;
  /** Patient-years there would be had nobody been lost. */
  potentialYears: number;
  /** observed / potential, at most 1; NaN without potential. */
  completeness: number;
  /** Patients who died. */
  died: number;
  /** Patients alive whose follow-up ends within a year of the study's closing, or later. */
  followed: number;
  /** Patients alive whose follow-up ends more than a year before the study closed. */
  lostEarly: number;
}

/**
 * Completeness of follow-up by group: person-time observed over person-time possible.
 *
 * Possible is until death for the dead, for the others until `timeZero.closingYear`. With the year
 * of operation alone known, an operation is taken to be in the middle of its year; a follow-up
 * longer than was then possible counts as what was possible. The error of each patient is at most
 * half a year, and evens out over a series. Everybody died, was followed to the end, or was lost
 * early: the three add up to the patients.
 *
 * @see Clark, Altman & De Stavola (2002) Lancet 359:1309-1310.
 */
export function followUpCompleteness(analysis: Analysis): CompletenessRow[] {
  const days = numericColumn(analysis, "fu_days");
  const dead = numericColumn(analysis, "dead");
  const year = numericColumn(analysis, "op_year");
  const closing = analysis.study.timeZero.closingYear;
  return (["repair", "replacement"] as const).map((arm) => {
    const wanted = arm === "repair" ? 1 : 0;
    const row: CompletenessRow = {
      arm,
      patients: 0,
      observedYears: 0,
      potentialYears: 0,
      completeness: NaN,
      died: 0,
      followed: 0,
      lostEarly: 0,
    };
    for (let i = 0; i < analysis.n; i++) {
      if (analysis.treated[i] !== wanted) continue;
      const observed = days[i]! / daysPerYear;
      const potential = dead[i] === 1 ? observed : Math.max(observed, closing - (year[i]! + 0.5));
      row.patients++;
      row.observedYears += observed;
      row.potentialYears += potential;
      if (dead[i] === 1) row.died++;
      else if (potential - observed > 1) row.lostEarly++;
      else row.followed++;
    }
    if (row.potentialYears > 0) row.completeness = row.observedYears / row.potentialYears;
    return row;
  });
}
