import type { DesignedFollowUp } from "../../balance/samples/mod.ts";
import { sideCounts, thresholdHolds } from "../../cohort/analysis/mod.ts";
import type { EndpointFollowUp } from "../../cohort/follow-up/mod.ts";
import type { Analysis } from "../../cohort/model/mod.ts";
import {
  dividesBothGroups,
  type SubgroupDifference,
  subgroupDifference,
} from "../../competing/subgroups/mod.ts";
import type { ForestRow, ForestSection } from "../../figures/estimates/mod.ts";
import type { Threshold } from "../../study/plan/mod.ts";
import { thresholdSource } from "../../study/parts/mod.ts";
import type { ShownContrast } from "../pair-tables/mod.ts";
import { countText, formatTest, shareText } from "../../words/mod.ts";

/** The difference between the groups on either side of one of the plan's thresholds. */
export interface ThresholdSubgroup {
  /** Name as readers see it. */
  label: string;
  /** Where the threshold comes from, and to whom it is applied here. */
  source: string;
  /** Differences on both sides, counts as published. */
  found: Omit<SubgroupDifference, "counts"> & {
    /** Eligible patients on either side, at risk or not; null where they would tell of too few. */
    counts: { inside: number | null; outside: number | null };
  };
}

/**
 * The difference in cumulative incidence of cause 1 by a time on either side of each threshold.
 *
 * @param options.followUp The endpoint, whose rows `data` has.
 * @returns Also the labels of those thresholds with a side that lacks one of the groups.
 * @example
 * ```ts ignore
 * import { followUpOf, openAnalysis, thresholdSubgroups } from "mitral";
 * const { analysis } = await openAnalysis();
 * const followUp = followUpOf(analysis, "death");
 * const { lines } = thresholdSubgroups(analysis, { followUp, data, thresholds, time: 5 });
 * ```
 */
export function thresholdSubgroups(
  analysis: Analysis,
  { followUp, data, thresholds, time, confidence }: {
    followUp: EndpointFollowUp;
    data: DesignedFollowUp;
    thresholds: readonly Threshold[];
    time: number;
    confidence?: number;
  },
): { lines: ThresholdSubgroup[]; undivided: string[] } {
  const lines: ThresholdSubgroup[] = [];
  const undivided: string[] = [];
  for (const threshold of thresholds) {
    const holds = thresholdHolds(analysis, threshold);
    const inside = Float64Array.from(followUp.rows, (row) => holds[row]!);
    if (!dividesBothGroups(data.group, inside)) {
      undivided.push(threshold.label);
      continue;
    }
    const found = subgroupDifference(data, inside, { cause: 1, time, confidence });
    const counts = sideCounts(analysis, threshold);
    lines.push({
      label: threshold.label,
      source: thresholdSource(threshold),
      found: { ...found, counts },
    });
  }
  return { lines, undivided };
}

/** Sections of a forest figure: each side with its two risks, and the test of interaction. */
export function subgroupSections(lines: readonly ThresholdSubgroup[]): ForestSection[] {
  return lines.map(({ label, source, found }) => {
    const { inside, outside, interaction } = found;
    return {
      label,
      source,
      interaction: `${formatTest(interaction)} for interaction`,
      rows: [
        contrastRow("Yes", inside, found.counts.inside),
        contrastRow("No", outside, found.counts.outside),
      ],
    };
  });
}

/** A row of a forest figure: a difference, with the risk after repair and after replacement. */
export function contrastRow(
  label: string,
  { groups, difference }: ShownContrast,
  patients?: number | null,
): ForestRow {
  const { estimate, lower, upper } = difference;
  const risks = [1, 0].flatMap((code) =>
    groups.filter(({ group }) => Number(group) === code).map((share) => shareText(share))
  );
  return {
    label,
    estimate,
    lower,
    upper,
    ...(risks.length === 2 && { risks }),
    ...(typeof patients === "number" && { counts: [`${countText(patients)} patients`] }),
  };
}
