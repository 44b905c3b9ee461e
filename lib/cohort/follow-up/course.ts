import { type Analysis, hasColumn, numericColumn, textColumn } from "../model/mod.ts";

/** Days of a year: the one conversion between days in files and years in results. */
export const daysPerYear = 365.25;

/** Grade from which regurgitation found at an echo counts. */
export type Grade = 2 | 3;

/** Why a patient is not at risk of an endpoint. */
export type LeftOutReason =
  | "residual"
  | "exit-grade-missing"
  | "reintervention-unknown"
  | "reintervention-day-missing"
  | "reintervention-reason-missing"
  | "event-missing"
  | "event-day-missing";

/** What is read aloud for each reason. */
export const leftOutReasons: Record<LeftOutReason, string> = {
  residual: "moderate or worse regurgitation on leaving theatre (residual, not recurrent)",
  "exit-grade-missing": "regurgitation on leaving theatre not recorded",
  "reintervention-unknown": "not recorded whether there was a reintervention",
  "reintervention-day-missing": "day of the reintervention not recorded",
  "reintervention-reason-missing": "reason for the reintervention not recorded",
  "event-missing": "not recorded whether it happened",
  "event-day-missing": "day of the event not recorded",
};

/** One patient's course after the operation, in days. */
export interface Course {
  /** Why the patient is not at risk of recurrence; the rest is then not to be used. */
  leftOut: LeftOutReason | null;
  end: number;
  dead: boolean;
  /** First day on which regurgitation of the grade is known; Infinity if never. */
  found: number;
  /** Last day before `found` on which the valve was known to be below the grade; 0 = at exit. */
  clear: number;
  /** Day of a reintervention for another reason, before any recurrence; Infinity if none. */
  otherReintervention: number;
}

/**
 * Follows each patient's valve: at risk are those who left theatre with at most mild regurgitation
 * (grade 0 or 1) and those who died in theatre. Recurrence is the first echo after day 0 at `grade`
 * or worse, or a reintervention for regurgitation. Echoes after a reintervention belong to another
 * valve and are not read; an echo on its very day is read before it.
 *
 * One at a time: of many patients they would be the largest thing there is.
 */
export function* coursesOf(analysis: Analysis, grade: Grade): Generator<Course, void> {
  const end = numericColumn(analysis, "fu_days");
  const dead = numericColumn(analysis, "dead");
  const exit = numericColumn(analysis, "mr_exit");
  const reint = numericColumn(analysis, "reint");
  const reintDay = optionalNumbers(analysis, "reint_day");
  const reason = hasColumn(analysis, "reint_reason") ? textColumn(analysis, "reint_reason") : [];
  const { offsets, day, mr } = analysis.visits;
  for (let i = 0; i < analysis.n; i++) {
    const course: Course = {
      leftOut: null,
      end: end[i]!,
      dead: dead[i] === 1,
      found: Infinity,
      clear: 0,
      otherReintervention: Infinity,
    };
    const inTheatre = course.dead && course.end === 0;
    if (exit[i]! > 1) course.leftOut = "residual";
    else if (Number.isNaN(exit[i]) && !inTheatre) course.leftOut = "exit-grade-missing";
    else if (Number.isNaN(reint[i]) && !inTheatre) course.leftOut = "reintervention-unknown";
    else if (reint[i] === 1 && Number.isNaN(reintDay[i])) {
      course.leftOut = "reintervention-day-missing";
    }
    if (course.leftOut) {
      yield course;
      continue;
    }
    const again = reint[i] === 1 ? reintDay[i]! : Infinity;
    for (let at = offsets[i]!; at < offsets[i + 1]! && day[at]! <= again; at++) {
      if (day[at] === 0 || Number.isNaN(mr[at])) continue;
      if (mr[at]! >= grade) {
        course.found = day[at]!;
        break;
      }
      if (day[at]! < again) course.clear = day[at]!;
    }
    if (again < course.found) {
      if (reason[i] === "MR") course.found = again;
      else if (reason[i]) course.otherReintervention = again;
      else course.leftOut = "reintervention-reason-missing";
    }
    yield course;
  }
}

/** A numeric column, or one of NaN where the file has none. */
export function optionalNumbers(analysis: Analysis, name: string): Float64Array {
  return hasColumn(analysis, name)
    ? numericColumn(analysis, name)
    : new Float64Array(analysis.n).fill(NaN);
}

/** Days until the valve of the operation is no longer under observation. */
export function valveDays(analysis: Analysis): Float64Array {
  const end = numericColumn(analysis, "fu_days");
  const again = optionalNumbers(analysis, "reint_day");
  return end.map((days, i) => again[i]! < days ? again[i]! : days);
}
