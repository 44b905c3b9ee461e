import { followUpOf } from "../../cohort/follow-up/mod.ts";
import { hasColumn } from "../../cohort/model/mod.ts";
import type { ProgrammeOperations } from "../operations/mod.ts";
import { type SurgeonAnswers, surgeonAnswers } from "../surgeon/mod.ts";
import type { Withheld } from "./withheld.ts";

// Fewer deaths say too little of the plan's covariates and surgeons together (common
// practice, no source).
const fewest = 30;

/**
 * The comparison of the two operations with the surgeon allowed for, where the file can tell of it.
 */
export function comparisonBySurgeon(
  { analysis, surgeons }: ProgrammeOperations,
): SurgeonAnswers | Withheld {
  const known = new Set(surgeons.label.filter((label) => label !== ""));
  if (!hasColumn(analysis, "surgeon") || known.size < 2) {
    return { why: "Fewer than two surgeons are recorded." };
  }
  const { study } = analysis;
  const horizon = Math.min(...study.horizons);
  const { time, event } = followUpOf(analysis, "death");
  const deaths = event.reduce((sum, what, i) => sum + (what > 0 && time[i]! <= horizon ? 1 : 0), 0);
  return deaths < fewest
    ? { why: `Fewer than ${fewest} deaths within the first horizon: too few beside surgeons.` }
    : surgeonAnswers(analysis, study);
}
