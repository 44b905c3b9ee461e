import { DataError } from "../../numerics/mod.ts";
import type { PlannedEndpoint } from "../../study/plan/mod.ts";
import { collectFollowUp, type EndpointFollowUp } from "./collect-follow-up.ts";
import { optionalNumbers } from "./course.ts";
import { type Analysis, columnOf, numericColumn } from "../model/mod.ts";

type Event = NonNullable<PlannedEndpoint["event"]>;

/**
 * 1 where the event of an endpoint of the study's own happened, 0 where not, NaN where that is not
 * recorded.
 *
 * @throws {DataError} if the analysis has no such column.
 */
export function ownEvents(analysis: Analysis, event: Event): Float64Array {
  const wanted = new Set(event.oneOf);
  const column = columnOf(analysis, event.column);
  return Float64Array.from({ length: analysis.n }, (_, row) => {
    const value = column[row]!;
    if (value === "" || Number.isNaN(value)) return NaN;
    return wanted.has(value) ? 1 : 0;
  });
}

/**
 * Follow-up for a dated endpoint of the study's own, competing events as its plan names them.
 *
 * On one day the endpoint comes before a reintervention, and both before death. Whose event or its
 * day is not recorded is left out and counted.
 *
 * @throws {DataError} if the plan names no day.
 */
export function ownFollowUp(
  analysis: Analysis,
  planned: PlannedEndpoint,
  event: Event,
): EndpointFollowUp {
  if (event.day === undefined) {
    throw new DataError("endpoint", "one whose plan names the day of its event", planned.id);
  }
  const happened = ownEvents(analysis, event);
  const day = numericColumn(analysis, event.day);
  const end = numericColumn(analysis, "fu_days");
  const dead = numericColumn(analysis, "dead");
  const competes = planned.competing.includes("reintervention");
  const again = optionalNumbers(analysis, "reint_day");
  const collected = collectFollowUp(analysis);
  for (let i = 0; i < analysis.n; i++) {
    const other = competes && again[i]! <= end[i]! ? again[i]! : Infinity;
    if (dead[i] === 1 && end[i] === 0 && happened[i] !== 1) collected.add(i, 0, 2);
    else if (Number.isNaN(happened[i])) collected.leaveOut(i, "event-missing");
    else if (happened[i] === 1 && Number.isNaN(day[i])) collected.leaveOut(i, "event-day-missing");
    else if (happened[i] === 1 && day[i]! <= Math.min(other, end[i]!)) {
      collected.add(i, day[i]!, 1);
    } else if (other < Infinity) collected.add(i, other, 3);
    else collected.add(i, end[i]!, dead[i] === 1 ? 2 : 0);
  }
  const causes = [planned.label, "death", ...competes ? ["mitral reintervention"] : []];
  return collected.finish(planned.id, planned.label, causes);
}
