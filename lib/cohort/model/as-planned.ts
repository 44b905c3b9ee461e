import type { GroupPhrases } from "../../study/plan/mod.ts";
import type { Analysis } from "./cohort.ts";

/**
 * What the plan says of every table and figure, to be spread into the options of each: the groups'
 * names, the confidence level, what is too small to publish, how far curves are drawn.
 */
export interface AsPlanned {
  /** Names of the groups, as headings and legends have them. */
  readonly labels: { readonly repair: string; readonly replacement: string };
  /** The groups within a sentence. */
  readonly phrases: GroupPhrases;
  /** Level of all limits, such as 0.95. */
  readonly confidence: number;
  /** Counts below this are not published. */
  readonly smallestCell: number;
  /** Curves end where fewer remain at risk. */
  readonly smallestAtRisk: number;
  /** Years after operation at which results are stated, and the one of the main answer. */
  readonly horizons: number[];
  /** Years after operation of the main answer. */
  readonly mainHorizon: number;
  /** Curves are drawn to the last of the horizons, in years. */
  readonly horizon: number;
  /** Smallest difference in proportions that would matter to a patient. */
  readonly smallestThatMatters: number;
}

/** What an analysis's plan says of every table and figure. */
export function planned({ groups, study }: Analysis): AsPlanned {
  return {
    labels: groups.labels,
    phrases: groups.phrases,
    confidence: study.confidence,
    smallestCell: study.smallestCell,
    smallestAtRisk: study.smallestAtRisk,
    horizons: [...study.horizons],
    mainHorizon: study.mainHorizon,
    horizon: Math.max(...study.horizons),
    smallestThatMatters: study.smallestDifference.value,
  };
}
