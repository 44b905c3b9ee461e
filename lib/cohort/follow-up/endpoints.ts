import { DataError } from "../../numerics/mod.ts";
import { builtInEndpoints } from "../../study/parts/mod.ts";
import type { EndpointId, PlannedEndpoint } from "../../study/plan/mod.ts";
import { collectFollowUp, type EndpointFollowUp } from "./collect-follow-up.ts";
import { coursesOf, optionalNumbers } from "./course.ts";
import { ownFollowUp } from "./own-endpoint.ts";
import { valveFailureOf } from "./valve-failure.ts";
import { type Analysis, numericColumn } from "../model/mod.ts";

/**
 * Time to an endpoint, or to what made it impossible, in years from operation.
 *
 * - `death`: of any cause, everybody.
 * - `valve-failure`: from day 0, the first of regurgitation of grade 2 or worse on leaving theatre
 *   (at time 0) or at a later echo, and a reintervention of any kind; 2 = death first. It leaves
 *   nobody out for a result of the operation, as `recurrence` does.
 * - `recurrence`, `recurrence-severe`: grade 2 (3) or worse found after an exit grade of at most 1,
 *   at an echo or by a reintervention for regurgitation; 2 = death first; 3 = reintervention for
 *   another reason first. Time is the day on which it was *found*: when it began is for
 *   {@link recurrenceIntervals}. Those alive without it are at risk until the end of follow-up, so
 *   that the incidence is that of recurrence found with the echoes that were done. After a
 *   replacement the same quantity is a leak.
 * - `reoperation`: any mitral reintervention; 2 = death first.
 * - any other: an endpoint of the study's own, on the day its plan names; 2 = death first; 3 =
 *   mitral reintervention first, where the plan has that compete.
 *
 * Where the plan does not name reintervention as competing with recurrence, the patient is censored
 * at that day instead. On one day the endpoint comes before a reintervention, and
 * both before death.
 * A death in theatre is an event at time 0. Those not at risk are counted with their reason.
 *
 * @throws {DataError} if there is no such endpoint, or its event has no day.
 */
export function followUpOf(analysis: Analysis, endpoint: EndpointId): EndpointFollowUp {
  const { endpoints } = analysis.study;
  const planned = endpoints.find(({ id }) => id === endpoint);
  if (endpoint === "death") return deathOf(analysis, planned);
  if (endpoint === "valve-failure") return valveFailureOf(analysis, planned?.label);
  if (endpoint === "reoperation") return reoperationOf(analysis, planned);
  if (endpoint === "recurrence" || endpoint === "recurrence-severe") {
    return recurrenceOf(analysis, endpoint, planned);
  }
  if (planned?.event) return ownFollowUp(analysis, planned, planned.event);
  const own = endpoints.filter(({ event }) => event).map(({ id }) => id);
  const known = [...builtInEndpoints, ...own].map((id) => JSON.stringify(id));
  throw new DataError("endpoint", `one of ${known.join(", ")}`, endpoint);
}

function deathOf(analysis: Analysis, planned?: PlannedEndpoint): EndpointFollowUp {
  const end = numericColumn(analysis, "fu_days");
  const dead = numericColumn(analysis, "dead");
  const collected = collectFollowUp(analysis);
  for (let i = 0; i < analysis.n; i++) collected.add(i, end[i]!, dead[i] === 1 ? 1 : 0);
  return collected.finish("death", planned?.label ?? "Death of any cause", ["death"]);
}

function reoperationOf(analysis: Analysis, planned?: PlannedEndpoint): EndpointFollowUp {
  const end = numericColumn(analysis, "fu_days");
  const dead = numericColumn(analysis, "dead");
  const reint = numericColumn(analysis, "reint");
  const reintDay = optionalNumbers(analysis, "reint_day");
  const collected = collectFollowUp(analysis);
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
  const collected = collectFollowUp(analysis);
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
