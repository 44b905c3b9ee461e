import { raised } from "../numerics/mod.ts";
import type { GroupPhrases } from "../study/plan/mod.ts";
import { openStudy, type Study } from "../study/file/mod.ts";
import { selectEligible } from "./analysis/mod.ts";
import type { Analysis, Cohort } from "./model/mod.ts";
import { reachablePlan } from "./follow-up/mod.ts";
import { readCohort } from "./read.ts";

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

/** A study opened for a notebook: its plan, its files, its patients. */
export interface OpenedAnalysis {
  /** The plan and where its files lie. */
  readonly study: Study;
  /** Everybody in the files. */
  readonly cohort: Cohort;
  /** Those eligible, with their groups. */
  readonly analysis: Analysis;
  /** Names of the groups, as headings have them. */
  readonly labels: AsPlanned["labels"];
  /** The groups within a sentence. */
  readonly phrases: GroupPhrases;
  /** Years after operation at which results are stated. */
  readonly horizons: number[];
  /** The one of them at which the main answer is stated. */
  readonly mainHorizon: number;
  /** Level of all limits, such as 0.95. */
  readonly confidence: number;
  /** Counts below this are not published. */
  readonly smallestCell: number;
  /** What the plan says of every table and figure. */
  readonly asPlanned: AsPlanned;
}

/**
 * Opens the study, reads its files and chooses the eligible patients: the first cell of a notebook.
 *
 * Times after operation are those of the plan that both groups were followed to; of any other the
 * reader is warned, see `reachablePlan`.
 *
 * Which results are planned is not among what it gives: the report knows it from the id of what is
 * shown (see `isPlanned`).
 *
 * @example
 * ```ts
 * import { openAnalysis } from "mitral";
 * const { study, analysis, asPlanned } = await openAnalysis();
 * ```
 * @param path The study file; default, the one the report runs on, else the demonstration's.
 * @throws {ProblemsError} if the study file or the cohort's files cannot be used.
 */
export async function openAnalysis(path?: string): Promise<OpenedAnalysis> {
  const plan = await openStudy(path);
  const cohort = await readCohort(plan);
  const eligible = selectEligible(cohort, plan);
  const { study, changes } = reachablePlan(eligible);
  raised(changes);
  const analysis = { ...eligible, study };
  const asPlanned = planned(analysis);
  const { labels, phrases, horizons, mainHorizon, confidence, smallestCell } = asPlanned;
  return {
    study,
    cohort,
    analysis,
    labels,
    phrases,
    horizons,
    mainHorizon,
    confidence,
    smallestCell,
    asPlanned,
  };
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
