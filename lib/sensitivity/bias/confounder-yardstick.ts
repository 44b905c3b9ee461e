import type { Analysis } from "../../cohort/model/mod.ts";
import { dictionaryColumn } from "../../cohort/dictionary/mod.ts";
import type { Interval } from "../../numerics/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import { eValue } from "./e-value.ts";

/** What leaving one measured covariate out of the plan does to the answer. */
export interface MeasuredStrength {
  /** Name of the column. */
  column: string;
  /** Name as readers see it. */
  label: string;
  /** The difference without it, less the difference with all. */
  moved: number;
  /**
   * How strongly, as an E-value, an unmeasured confounder would have to be tied to both operation
   * and outcome to move the ratio as far as leaving this covariate out does; where there
   * is a ratio.
   */
  asStrongAs?: number;
}

/** How strong an unmeasured confounder would have to be, in measures a reader knows. */
export interface ConfounderYardstick {
  /** The strongest first; empty where the plan adjusts for one covariate alone. */
  measured: MeasuredStrength[];
  /** First minus second, with limits. */
  difference: Interval;
  /**
   * How many times as far as the strongest measured one it must move the estimate to reach 0; NaN
   * without one.
   */
  timesStrongest: number;
  /** The same for the limit nearer 0; 0 where the limits include 0. */
  timesStrongestForLimit: number;
  /** E-value for the estimate and the limit nearer 1; where there is a ratio. */
  needed?: { estimate: number; limit?: number };
}

/**
 * The measured confounders as a yardstick for one that was not measured: each is left out of the
 * plan in turn, with products it is in, and the comparison is made anew.
 *
 * A covariate that others stand in for moves little when it alone is left out, so this shows what
 * one more of its kind would add, beside the others. Cost: one estimate a covariate.
 *
 * @param estimate The comparison under a plan.
 * @example
 * ```ts ignore
 * import { confounderYardstick, followUpOf, incidenceDifference, openAnalysis, underWeights, weightedSample } from "mitral";
 * const { analysis, study } = await openAnalysis();
 * const death = followUpOf(analysis, "death");
 * confounderYardstick(analysis, study, (analysis, plan) => {
 *   const { weight } = weightedSample(analysis, plan);
 *   return incidenceDifference(underWeights(death, weight), { cause: 1, times: [5] })[0]!;
 * }).timesStrongest;
 * ```
 * @throws {DataError} as the comparison does.
 * @see Hosman, Hansen & Holland (2010) Ann Appl Stat 4:849-870; E-values of measured covariates:
 * McGowan & Greevy (2020) arXiv:2011.07030; E-value: VanderWeele & Ding (2017).
 */
export function confounderYardstick(
  analysis: Analysis,
  study: Study,
  estimate: (analysis: Analysis, study: Study) => { difference: Interval; ratio?: Interval },
): ConfounderYardstick {
  const { covariates, interactions } = study.adjustment;
  const all = estimate(analysis, study);
  // the only one left out would leave nothing to adjust for
  const eachInTurn = covariates.length > 1 ? covariates : [];
  const measured = eachInTurn.map(({ column }): MeasuredStrength => {
    const without = estimate(analysis, {
      ...study,
      adjustment: {
        ...study.adjustment,
        covariates: covariates.filter((other) => other.column !== column),
        interactions: interactions.filter((pair) => !pair.includes(column)),
      },
    });
    const shift = all.ratio && without.ratio && without.ratio.estimate / all.ratio.estimate;
    return {
      column,
      label: dictionaryColumn("patients", column, study.columns)?.label ?? column,
      moved: without.difference.estimate - all.difference.estimate,
      ...(shift !== undefined && shift > 0 && shift < Infinity
        ? { asStrongAs: eValue(shift).estimate }
        : {}),
    };
  }).sort((a, b) => Math.abs(b.moved) - Math.abs(a.moved));
  const { estimate: value, lower, upper } = all.difference;
  const nearer = lower > 0 ? lower : upper < 0 ? -upper : 0;
  const strongest = Math.abs(measured[0]?.moved ?? NaN);
  const { ratio } = all;
  const usable = ratio && ratio.estimate > 0 && ratio.estimate < Infinity && ratio.lower > 0;
  return {
    measured,
    difference: all.difference,
    timesStrongest: Math.abs(value) / strongest,
    timesStrongestForLimit: nearer / strongest,
    ...(usable
      ? { needed: eValue(ratio.estimate, ratio.estimate < 1 ? ratio.upper : ratio.lower) }
      : {}),
  };
}
