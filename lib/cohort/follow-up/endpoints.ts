import { checkChoice } from "../../numerics/mod.ts";
import type { EndpointId, PlannedEndpoint } from "../../study/mod.ts";
import {
  coursesOf,
  daysPerYear,
  type LeftOutReason,
  leftOutReasons,
  optionalNumbers,
} from "./course.ts";
import { type Analysis, numericColumn } from "../model/mod.ts";

/** Patients of the analysis who are not at risk of an endpoint, by reason and group. */
export interface LeftOut {
  reason: string;
  n: number;
  repair: number;
  replacement: number;
}

/** Follow-up for one endpoint, ready for the estimators. */
export interface EndpointFollowUp {
  endpoint: EndpointId;
  label: string;
  /** Patients at risk, as rows of the analysis, ascending. `rows.length + Σ leftOut.n = n`. */
  rows: Int32Array;
  /** Years from operation; 0 for a death in theatre. */
  time: Float64Array;
  /** 0 censored; otherwise `causes[event - 1]` came first. */
  event: Int32Array;
  /** 1 = repair, for the same rows. */
  treated: Uint8Array;
  /** What events 1, 2, ... are. */
  causes: string[];
  leftOut: LeftOut[];
}

const endpointIds: EndpointId[] = ["death", "recurrence", "recurrence-severe", "reoperation"];

/**
 * Time to an endpoint, or to what made it impossible, in years from operation.
 *
 * - `death`: of any cause, everybody.
 * - `recurrence`, `recurrence-severe`: grade 2 (3) or worse found after an exit grade of at most 1,
 *   at an echo or by a reintervention for regurgitation; 2 = death first; 3 = reintervention for
 *   another reason first. Time is the day on which it was *found*: when it began is for
 *   {@link recurrenceIntervals}. Those alive without it are at risk until the end of follow-up, so
 *   that the incidence is that of recurrence found with the echoes that were done. After a
 *   replacement the same quantity is a leak.
 * - `reoperation`: any mitral reintervention; 2 = death first.
 *
 * Where the plan does not name reintervention as competing with recurrence, the patient is censored
 * at that day instead. On one day the endpoint comes before a reintervention, and both before death.
 * A death in theatre is an event at time 0. Those not at risk are counted with their reason.
 *
 * @throws {DataError} if there is no such endpoint.
 */
export function followUpOf(analysis: Analysis, endpoint: EndpointId): EndpointFollowUp {
  checkChoice("endpoint", endpoint, endpointIds);
  const planned = analysis.study.endpoints.find(({ id }) => id === endpoint);
  if (endpoint === "death") return deathOf(analysis, planned);
  if (endpoint === "reoperation") return reoperationOf(analysis, planned);
  return recurrenceOf(analysis, endpoint, planned);
}

function deathOf(analysis: Analysis, planned?: PlannedEndpoint): EndpointFollowUp {
  const end = numericColumn(analysis, "fu_days");
  const dead = numericColumn(analysis, "dead");
  const collected = collector(analysis);
  for (let i = 0; i < analysis.n; i++) collected.add(i, end[i]!, dead[i] === 1 ? 1 : 0);
  return collected.finish("death", planned?.label ?? "Death of any cause", ["death"]);
}

function reoperationOf(analysis: Analysis, planned?: PlannedEndpoint): EndpointFollowUp {
  const end = numericColumn(analysis, "fu_days");
  const dead = numericColumn(analysis, "dead");
  const reint = numericColumn(analysis, "reint");
  const reintDay = optionalNumbers(analysis, "reint_day");
  const collected = collector(analysis);
  for (let i = 0; i < analysis.n; i++) {
    const death = dead[i] === 1 ? 2 : 0;
    if (death && end[i] === 0) collected.add(i, 0, death);
    else if (Number.isNaN(reint[i])) collected.leaveOut(i, "reintervention-unknown");
    else if (reint[i] !== 1) collected.add(i, end[i]!, death);
    else if (Number.isNaN(reintDay[i])) collected.leaveOut(i, "reintervention-day-missing");
    else collected.add(i, reintDay[i]!, 1);
  }
  return collected.finish("reoperation", planned?.label ?? "Mitral reintervention", [
    "reintervention",
    "death",
  ]);
}

function recurrenceOf(
  analysis: Analysis,
  endpoint: "recurrence" | "recurrence-severe",
  planned?: PlannedEndpoint,
): EndpointFollowUp {
  const reintervention = planned?.competing.includes("reintervention") ?? true;
  const collected = collector(analysis);
  coursesOf(analysis, endpoint === "recurrence" ? 2 : 3).forEach((course, i) => {
    if (course.leftOut) collected.leaveOut(i, course.leftOut);
    else if (course.found < Infinity) collected.add(i, course.found, 1);
    else if (course.otherReintervention < Infinity) {
      collected.add(i, course.otherReintervention, reintervention ? 3 : 0);
    } else collected.add(i, course.end, course.dead ? 2 : 0);
  });
  const causes = ["recurrence found", "death", "reintervention for another reason"];
  const label = planned?.label ??
    (endpoint === "recurrence" ? "Recurrence, moderate or worse" : "Recurrence, severe");
  return collected.finish(endpoint, label, reintervention ? causes : causes.slice(0, 2));
}

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
  treated: Uint8Array;
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
  const collected = collector(analysis);
  const courses = coursesOf(analysis, grade);
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

function collector(analysis: Analysis) {
  const rows: number[] = [];
  const days: number[] = [];
  const events: number[] = [];
  const out = new Map<LeftOutReason, LeftOut>();
  let left = 0;
  return {
    add(row: number, day: number, event: number): void {
      rows.push(row);
      days.push(day);
      events.push(event);
    },
    leaveOut(row: number, reason: LeftOutReason): void {
      const entry = out.get(reason) ??
        { reason: leftOutReasons[reason], n: 0, repair: 0, replacement: 0 };
      entry.n++;
      entry[analysis.treated[row] ? "repair" : "replacement"]++;
      out.set(reason, entry);
      left++;
    },
    finish(endpoint: EndpointId, label: string, causes: string[]): EndpointFollowUp {
      if (rows.length + left !== analysis.n) throw new Error(`patients lost at ${endpoint}`);
      return {
        endpoint,
        label,
        rows: Int32Array.from(rows),
        time: Float64Array.from(days, (day) => day / daysPerYear),
        event: Int32Array.from(events),
        treated: Uint8Array.from(rows, (row) => analysis.treated[row]!),
        causes,
        leftOut: [...out.values()],
      };
    },
  };
}
