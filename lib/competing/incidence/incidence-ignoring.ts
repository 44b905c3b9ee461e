import { checkDataColumns, FOLLOW_UP, type FollowUp, followUpColumns } from "../../numerics/mod.ts";
import {
  type CauseIncidence,
  cumulativeIncidence,
  type IncidenceOptions,
} from "./cumulative-incidence.ts";

/**
 * The quantity older papers print for a non-fatal endpoint: one minus a Kaplan-Meier curve that
 * treats the competing events as censorings.
 *
 * It estimates the proportion with the event if nobody could have a competing one and their hazard
 * stayed as it is, which no patient experiences. It is never below the cumulative incidence. Shown
 * only beside it, so that a reader can compare with such papers.
 *
 * Shapes, errors, ties and cost as {@link cumulativeIncidence}, whose case of one cause this is.
 *
 * @throws {DataError} on a value out of range.
 * @see Gooley et al. (1999) Stat Med 18:695-706.
 */
export function incidenceIgnoringCompetingEvents(
  data: FollowUp,
  options: { cause: number } & Omit<IncidenceOptions, "causes">,
): { time: Float64Array; atRisk: Float64Array } & CauseIncidence {
  checkDataColumns("incidenceIgnoringCompetingEvents", data, FOLLOW_UP);
  const { cause, ...rest } = options;
  const columns = followUpColumns(data, { causes: true });
  const event = columns.event.map((code) => code === cause ? code : 0);
  const { time, atRisk, causes } = cumulativeIncidence(
    { ...data, event },
    { ...rest, causes: [cause] },
  );
  return { time, atRisk, ...causes[0]! };
}
