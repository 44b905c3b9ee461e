import { checkChoice } from "../../numerics/mod.ts";
import { collectFollowUp, type LeftOut } from "./collect-follow-up.ts";
import { coursesOf, daysPerYear } from "./course.ts";
import type { Analysis } from "../model/mod.ts";

/** What is known of the onset of recurrence, for estimators of interval-censored times. */
export interface RecurrenceIntervals {
  /** Patients at risk, as rows of the analysis, ascending. */
  rows: Int32Array;
  /** Years: the last echo that was clear, 0 where there is none after exit. */
  lower: Float64Array;
  /** Years: the first echo that was not, or reintervention for it; Infinity if never found. */
  upper: Float64Array;
  /** Years: death without recurrence found; NaN if none. */
  death: Float64Array;
  /** Years: until when recurrence could be found (reintervention, death, end of follow-up). */
  end: Float64Array;
  /** 1 repair, 0 replacement, one a row. */
  treated: Uint8Array;
  /** Patients not counted, and why. */
  leftOut: LeftOut[];
}

/**
 * Brackets the onset of recurrence: it lies in (lower, upper], since it is seen only when somebody
 * looks. Nothing is known after the last clear echo, where a death may hide a recurrence: `death`
 * and `end` say until when it could have come.
 *
 * @param options.grade Grade from which regurgitation counts: 2 (moderate) or 3.
 */
export function recurrenceIntervals(
  analysis: Analysis,
  options: { grade?: 2 | 3 } = {},
): RecurrenceIntervals {
  const grade = checkChoiceOfGrade(options.grade ?? 2);
  const collected = collectFollowUp(analysis);
  const courses = [...coursesOf(analysis, grade)];
  courses.forEach((course, i) => {
    if (course.leftOut) collected.leaveOut(i, course.leftOut);
    else collected.add(i, Math.min(course.end, course.found, course.otherReintervention), 0);
  });
  const { rows, time: end, treated, leftOut } = collected.finish("recurrence", "", []);
  const years = (days: (i: number) => number) =>
    Float64Array.from(rows, (row) => days(row) / daysPerYear);
  return {
    rows,
    lower: years((i) => courses[i]!.clear),
    upper: years((i) => courses[i]!.found),
    death: years((i) => {
      const { dead, end, found, otherReintervention } = courses[i]!;
      return dead && found === Infinity && otherReintervention === Infinity ? end : NaN;
    }),
    end,
    treated,
    leftOut,
  };
}

function checkChoiceOfGrade(grade: 2 | 3): 2 | 3 {
  checkChoice("grade", String(grade), ["2", "3"]);
  return grade;
}
