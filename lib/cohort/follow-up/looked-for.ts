import { coursesOf, daysPerYear, type Grade, valveDays } from "./course.ts";
import { type Analysis, numericColumn } from "../model/mod.ts";

/** Recurrence as visits bracket it, with survival after it was found: the illness-death course. */
export interface RecurrenceLookedFor {
  /** Patients at risk, as rows of the analysis, ascending. */
  rows: Int32Array;
  /** 1 = repair. */
  treated: Uint8Array;
  /** Years: the last echo that was clear; 0, the exit, where there is none after it. */
  lastClear: Float64Array;
  /** Years: the first echo that was not, or reintervention for it; Infinity if never found. */
  found: Float64Array;
  /** Years until death, reintervention or last contact, found or not. */
  time: Float64Array;
  /** 1 where that was death. */
  death: Uint8Array;
  /** Patients not at risk, whom `recurrenceIntervals` lists by reason. */
  leftOut: number;
}

/**
 * Columns for `intervalCensoredIncidence`: unlike `recurrenceIntervals`, follow-up goes on after a
 * recurrence was found, because deaths after it tell how much likelier death is with it. It ends at
 * any reintervention, after which it is another valve's.
 *
 * @param options.grade Grade from which regurgitation counts: 2 (moderate, the default) or 3.
 */
export function recurrenceLookedFor(
  analysis: Analysis,
  options: { grade?: Grade } = {},
): RecurrenceLookedFor {
  const courses = [...coursesOf(analysis, options.grade ?? 2)];
  const end = valveDays(analysis);
  const followed = numericColumn(analysis, "fu_days");
  const rows = Int32Array.from(courses.flatMap(({ leftOut }, i) => leftOut ? [] : [i]));
  const years = (days: (i: number) => number) =>
    Float64Array.from(rows, (row) => days(row) / daysPerYear);
  return {
    rows,
    treated: Uint8Array.from(rows, (row) => analysis.treated[row]!),
    lastClear: years((i) => courses[i]!.clear),
    found: years((i) => courses[i]!.found),
    time: years((i) => end[i]!),
    death: Uint8Array.from(rows, (i) => courses[i]!.dead && end[i]! === followed[i]! ? 1 : 0),
    leftOut: analysis.n - rows.length,
  };
}
