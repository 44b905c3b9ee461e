import type { Analysis } from "../../cohort/model/mod.ts";
import { DataError, type Interval, numberColumn } from "../../numerics/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import type { Contrast } from "../pool/mod.ts";
import {
  acrossSets,
  type CompletedSets,
  completedSets,
  firstSets,
  type StudyShift,
} from "../study/mod.ts";

/** The answer if values not known were moved by so much. */
export interface TippingStep {
  /** How far, in the unit of the column. */
  by: number;
  /** First minus second, with limits. */
  difference: Interval & { pValue: number };
}

/** By how much values not known would have to be other than those known would have them. */
export interface TippingPoint {
  /** Name of the column. */
  column: string;
  /** Whose missing values are moved. */
  group: "repair" | "replacement" | "both";
  /** In ascending order of `by`. */
  steps: TippingStep[];
  /**
   * The step nearest to 0, in either direction, at which the answer is another: zero inside the
   * limits where it was outside, or the other way round. Null where no step tried does it.
   */
  tips: number | null;
}

/**
 * Repeats a comparison with the missing values of one covariate moved, step by step: how far from
 * missing at random must they be before the answer changes?
 *
 * What is drawn is moved in the column's own unit (log odds for yes/no columns and grades) and kept
 * within possible values; the moved values then predict other columns. The same seed throughout, so
 * that steps differ by the move alone. Cost: an imputation and an estimate a step.
 *
 * @param about.group Whose values are moved; default both groups'.
 * @param estimate One comparison within a completed set.
 * @param options.unmoved The same study's completed sets, where they are at hand.
 * @example
 * ```ts ignore
 * import { followUpOf, openAnalysis, survivalDifference, tippingPoint, underWeights, weightedSample } from "mitral";
 * const { analysis, study } = await openAnalysis();
 * const death = followUpOf(analysis, "death");
 * const found = await tippingPoint(analysis, study, { column: "pasp", by: [-20, -10, 0, 10, 20] },
 *   (set) => survivalDifference(underWeights(death, weightedSample(set, study).weight),
 *     { times: [5] })[0]!);
 * found.tips;
 * ```
 * @throws {DataError} without a step of 0, or on a column that is not completed.
 * @see Cro and others (2020) Stat Med 39:2815-2842; van Buuren (2018), section 3.8.
 */
export async function tippingPoint(
  analysis: Analysis,
  study: Study,
  about: { column: string; by: readonly number[]; group?: "repair" | "replacement" },
  estimate: (set: Analysis) => Contrast,
  options: { sets?: number; workers?: number; unmoved?: CompletedSets } = {},
): Promise<TippingPoint> {
  const { column, group } = about;
  const { unmoved, ...chains } = options;
  numberColumn("by", about.by);
  if (!about.by.includes(0)) {
    throw new DataError("by", "such that 0, no move, is among it", about.by);
  }
  const steps: TippingStep[] = [];
  for (const by of [...new Set(about.by)].sort((a, b) => a - b)) {
    const shift: StudyShift = { column, by, ...(group === undefined ? {} : { group }) };
    // a move by nothing draws what was drawn without one
    const completed = by === 0 && unmoved?.imputed
      ? firstSets(unmoved, options.sets)
      : await completedSets(analysis, study, { ...chains, method: "impute", shifts: [shift] });
    const [pooled] = acrossSets(completed, (set) => [estimate(set)], {
      confidence: study.confidence,
    });
    const { estimate: value, standardError, lower, upper, pValue } = pooled!.difference;
    steps.push({ by, difference: { estimate: value, standardError, lower, upper, pValue } });
  }
  const start = sideOf(steps.find(({ by }) => by === 0)!);
  const others = steps.filter((step) => sideOf(step) !== start);
  const tips = others.length === 0
    ? null
    : others.reduce((near, { by }) => Math.abs(by) < Math.abs(near) ? by : near, Infinity);
  return { column, group: group ?? "both", steps, tips };
}

/** On which side of zero the limits lie; 0 where they include it. */
function sideOf({ difference: { lower, upper } }: TippingStep): -1 | 0 | 1 {
  return lower > 0 ? 1 : upper < 0 ? -1 : 0;
}
