import { daysPerYear } from "./course.ts";
import { followUpOf } from "./endpoints.ts";
import { type Analysis, numericColumn } from "../model/mod.ts";

/** Each patient's way through recurrence and reoperation to the end, ready for `transitionRows`. */
export interface ValveCourse {
  /** Patients at risk of recurrence and with known reinterventions, as rows of the analysis. */
  rows: Int32Array;
  /** 1 = repair. */
  treated: Uint8Array;
  /** Years to death or last contact, through any reoperation. */
  time: Float64Array;
  /** 1 where that was death. */
  death: Uint8Array;
  /** Years to each stage; Infinity where never reached. */
  stages: { recurrence: Float64Array; reoperation: Float64Array };
  /** Patients of the analysis who are not in. */
  leftOut: number;
}

/**
 * Columns of the course operated -> recurrence found -> reoperation -> dead.
 *
 * A death in theatre counts as half a day of follow-up, since no time can be spent in a state
 * otherwise; nobody is dropped for having died early. Recurrence is on the day it was found; a
 * reoperation for it on the same day goes straight to the reoperation.
 */
export function valveCourse(analysis: Analysis): ValveCourse {
  const recurrence = followUpOf(analysis, "recurrence");
  const reoperation = followUpOf(analysis, "reoperation");
  const end = numericColumn(analysis, "fu_days");
  const dead = numericColumn(analysis, "dead");
  const when = (of: typeof recurrence) => {
    const years = new Map<number, number>();
    of.rows.forEach((row, i) => years.set(row, of.event[i] === 1 ? of.time[i]! : Infinity));
    return years;
  };
  const recurred = when(recurrence);
  const again = when(reoperation);
  const rows = recurrence.rows.filter((row) => again.has(row));
  const column = (value: (row: number) => number) => Float64Array.from(rows, value);
  return {
    rows,
    treated: Uint8Array.from(rows, (row) => analysis.treated[row]!),
    time: column((row) => Math.max(end[row]!, 0.5) / daysPerYear),
    death: Uint8Array.from(rows, (row) => dead[row] === 1 ? 1 : 0),
    stages: {
      recurrence: column((row) => recurred.get(row)!),
      reoperation: column((row) => again.get(row)!),
    },
    leftOut: analysis.n - rows.length,
  };
}
