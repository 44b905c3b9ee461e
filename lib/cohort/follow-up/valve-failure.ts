import { collectFollowUp, type EndpointFollowUp } from "./collect-follow-up.ts";
import { coursesOf, optionalNumbers } from "./course.ts";
import type { Analysis } from "../model/mod.ts";

/**
 * Failure of the valve from the day of operation: regurgitation of grade 2 or worse on leaving
 * theatre or at a later echo, or a reintervention of any kind, with death competing.
 *
 * A leak on leaving theatre is an event at time 0. Whose grade on leaving theatre or reintervention
 * is not recorded is left out and counted, unless the patient died in theatre; a reintervention
 * without its reason counts, since any reason does.
 */
export function valveFailureOf(
  analysis: Analysis,
  label = "Valve failure: moderate or worse regurgitation, or reintervention",
): EndpointFollowUp {
  const again = optionalNumbers(analysis, "reint_day");
  const collected = collectFollowUp(analysis);
  coursesOf(analysis, 2).forEach((course, i) => {
    const { leftOut, found, otherReintervention, end, dead } = course;
    if (leftOut === "residual") collected.add(i, 0, 1);
    else if (leftOut === "reintervention-reason-missing") collected.add(i, again[i]!, 1);
    else if (leftOut) collected.leaveOut(i, leftOut);
    else if (Math.min(found, otherReintervention) < Infinity) {
      collected.add(i, Math.min(found, otherReintervention), 1);
    } else collected.add(i, end, dead ? 2 : 0);
  });
  return collected.finish("valve-failure", label, ["valve failure", "death"]);
}
