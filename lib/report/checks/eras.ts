import type { DesignedFollowUp } from "../../balance/samples/mod.ts";
import type { EndpointFollowUp } from "../../cohort/follow-up/mod.ts";
import { type Analysis, hasColumn, numericColumn } from "../../cohort/model/mod.ts";
import type { Threshold } from "../../study/plan/mod.ts";
import { type ThresholdSubgroup, thresholdSubgroups } from "../results/mod.ts";

/**
 * The difference between the groups in the earlier and the later years of operation, cut at the
 * year that divides the patients most evenly, and whether it is another.
 *
 * The cut follows from the years alone, before any outcome. Empty where a side lacks one of the
 * groups, or the file has no year.
 */
export function eraSubgroups(
  analysis: Analysis,
  followUp: EndpointFollowUp,
  data: DesignedFollowUp,
  { time, confidence }: { time: number; confidence?: number },
): ThresholdSubgroup[] {
  if (!hasColumn(analysis, "op_year")) return [];
  const years = Array.from(numericColumn(analysis, "op_year")).filter(Number.isFinite);
  years.sort((a, b) => a - b);
  const value = years[Math.floor(years.length / 2)];
  if (value === undefined || value === years[0]) return [];
  const threshold: Threshold = {
    id: "era",
    column: "op_year",
    side: "at-least",
    value,
    label: `Operated in ${value} or later`,
    purpose: "subgroup",
    source: "the middle year of operation here, whatever came of it",
  };
  const asked = { followUp, data, thresholds: [threshold], time, confidence };
  return thresholdSubgroups(analysis, asked).lines;
}
