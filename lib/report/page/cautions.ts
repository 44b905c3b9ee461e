import type { ReportModel } from "../model/mod.ts";

/** What readers must hold in mind whatever the results are. */
export const standingCautions = [
  "These are averages of groups. For one patient, use current guidelines and the heart team, with " +
  "the patient.",
  "Any threshold named here defers to current guidelines and local governance.",
  "Adjustment can only allow for what was recorded. A difference may still come from patients who " +
  "differed in other ways.",
  "Exploratory results suggest questions; they answer none.",
  "Approval by an ethics committee and for the use of the data is the group’s own duty; this " +
  "report does not stand in for either.",
] as const;

/** All cautions of a report: those its notebooks give, then the standing ones. */
export function cautions({ items }: ReportModel): string[] {
  const own = items.notes.filter(({ item }) => item.about === "caution").map(({ item }) =>
    item.text
  );
  return [...own, ...standingCautions];
}
