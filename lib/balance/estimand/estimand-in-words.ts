import { checkChoice } from "../../numerics/mod.ts";
import type { Estimand } from "../weigh/mod.ts";

/**
 * The patients an estimate is about, as a phrase to print beside it: "among patients who could have
 * had either operation".
 *
 * @param estimand "matched" for what a caliper leaves, which is none of the three exactly.
 * @param options.treatment With its article, as the plan's phrases have it: "an intended repair".
 */
export function estimandInWords(
  estimand: Estimand | "matched",
  options: { treatment?: string; either?: string; subjects?: string } = {},
): string {
  const { treatment = "a repair", either = "either operation", subjects = "patients" } = options;
  checkChoice("estimand", estimand, ["everyone", "treated", "overlap", "matched"]);
  switch (estimand) {
    case "everyone":
      return `if all ${subjects} had had the one operation, or all the other`;
    case "treated":
      return `among ${subjects} who had ${treatment}, against the same ${subjects} without it`;
    case "overlap":
      return `among ${subjects} who could have had ${either}`;
    case "matched":
      return `among the ${subjects} for whom a match was found`;
  }
}
