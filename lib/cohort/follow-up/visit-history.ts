import { daysPerYear, optionalNumbers, valveDays } from "./course.ts";
import { type Analysis, hasColumn, numericColumn, textColumn } from "../model/mod.ts";

/** Time between two looks at the valve, a row each, with what was known when it began. */
export interface VisitHistory {
  /** Row of the analysis. */
  subject: Int32Array;
  /** Years; under observation on (entry, time]. */
  entry: Float64Array;
  /** Times, in the unit given. */
  time: Float64Array;
  /** 1 where the row ends with an echo, 0 where observation ends. */
  visit: Uint8Array;
  /** 1 = repair. */
  treated: Uint8Array;
  /** Grade last known at `entry`: at exit, then at the last echo with a grade. */
  lastGrade: Float64Array;
  /** 1 where the last echo was made because of symptoms. */
  lastForSymptoms: Uint8Array;
  /** 1 where the echo at `time` itself was made because of symptoms. */
  forSymptoms: Uint8Array;
  /** Grade the echo at `time` showed; NaN without an echo or a grade. */
  grade: Float64Array;
  /** Patients without an exit grade, whose rows could not begin. */
  leftOut: number;
}

/**
 * Rows for a model of when echocardiograms are made: from operation to the first echo after its
 * day, from each echo to the next, and from the last to the end of observation (reintervention,
 * death or last contact). Every patient with an exit grade and any follow-up is in.
 */
export function visitHistory(analysis: Analysis): VisitHistory {
  const end = valveDays(analysis);
  const exit = numericColumn(analysis, "mr_exit");
  const { offsets, day, mr, columns } = analysis.visits;
  const reason = hasColumn({ columns }, "reason") ? textColumn({ columns }, "reason") : [];
  const most = analysis.visits.count + analysis.n;
  const rows = {
    subject: new Int32Array(most),
    entry: new Float64Array(most),
    time: new Float64Array(most),
    visit: new Uint8Array(most),
    treated: new Uint8Array(most),
    lastGrade: new Float64Array(most),
    lastForSymptoms: new Uint8Array(most),
    forSymptoms: new Uint8Array(most),
    grade: new Float64Array(most),
  };
  let count = 0;
  let leftOut = 0;
  for (let i = 0; i < analysis.n; i++) {
    if (!(end[i]! > 0)) continue;
    if (Number.isNaN(exit[i])) {
      leftOut++;
      continue;
    }
    let since = 0;
    let grade = exit[i]!;
    let symptoms: 0 | 1 = 0;
    const add = (until: number, visit: 0 | 1, seen: number, called: 0 | 1) => {
      rows.subject[count] = i;
      rows.entry[count] = since / daysPerYear;
      rows.time[count] = until / daysPerYear;
      rows.visit[count] = visit;
      rows.treated[count] = analysis.treated[i]!;
      rows.lastGrade[count] = grade;
      rows.lastForSymptoms[count] = symptoms;
      rows.forSymptoms[count] = called;
      rows.grade[count] = seen;
      count++;
    };
    for (let at = offsets[i]!; at < offsets[i + 1]! && day[at]! <= end[i]!; at++) {
      if (day[at] === 0) continue;
      const called = reason[at] === "symptoms" ? 1 : 0;
      add(day[at]!, 1, mr[at]!, called);
      since = day[at]!;
      if (!Number.isNaN(mr[at])) grade = mr[at]!;
      symptoms = called;
    }
    if (end[i]! > since) add(end[i]!, 0, NaN, 0);
  }
  return {
    subject: rows.subject.slice(0, count),
    entry: rows.entry.slice(0, count),
    time: rows.time.slice(0, count),
    visit: rows.visit.slice(0, count),
    treated: rows.treated.slice(0, count),
    lastGrade: rows.lastGrade.slice(0, count),
    lastForSymptoms: rows.lastForSymptoms.slice(0, count),
    forSymptoms: rows.forSymptoms.slice(0, count),
    grade: rows.grade.slice(0, count),
    leftOut,
  };
}

/** Every known grade of every valve, with its follow-up: for the grade over time. */
export interface GradeHistory {
  /** One value a patient of the analysis: years to death, reintervention or last contact. */
  time: Float64Array;
  /** 0 last contact, 1 death, 2 reintervention on the valve. */
  event: Uint8Array;
  /** 1 = repair. */
  group: Uint8Array;
  /** Grades known, by patient and time; at exit counts as time 0. */
  visits: { subject: Int32Array; time: Float64Array; grade: Float64Array };
}

/**
 * Everybody's grades, residual regurgitation included; what follows a reintervention is not read.
 */
export function gradeHistory(analysis: Analysis): GradeHistory {
  const end = valveDays(analysis);
  const followed = numericColumn(analysis, "fu_days");
  const dead = numericColumn(analysis, "dead");
  const again = optionalNumbers(analysis, "reint_day");
  const exit = numericColumn(analysis, "mr_exit");
  const { offsets, day, mr } = analysis.visits;
  const subject: number[] = [];
  const time: number[] = [];
  const grade: number[] = [];
  const add = (i: number, days: number, seen: number) => {
    if (Number.isNaN(seen)) return;
    subject.push(i);
    time.push(days / daysPerYear);
    grade.push(seen);
  };
  for (let i = 0; i < analysis.n; i++) {
    add(i, 0, exit[i]!);
    for (let at = offsets[i]!; at < offsets[i + 1]! && day[at]! <= end[i]!; at++) {
      if (day[at]! > 0) add(i, day[at]!, mr[at]!);
    }
  }
  return {
    time: end.map((days) => days / daysPerYear),
    event: Uint8Array.from(
      dead,
      (died, i) => again[i]! <= followed[i]! && again[i]! < Infinity ? 2 : died === 1 ? 1 : 0,
    ),
    group: analysis.treated,
    visits: {
      subject: Int32Array.from(subject),
      time: Float64Array.from(time),
      grade: Float64Array.from(grade),
    },
  };
}
