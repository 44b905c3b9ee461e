import { factorSymmetric, solveFactored } from "../../numerics/mod.ts";
import type { Choices, Dimension } from "./every-path.ts";

/** How much of the spread of the estimates goes with one choice. */
export interface ChoiceInfluence {
  /** Id of what is chosen. */
  dimension: string;
  /** Name as readers see it. */
  label: string;
  /** Between the options that move the estimate furthest apart, other choices held alike. */
  spread: number;
  /** The options at the two ends: lowest and highest. */
  lowest: string;
  /** The option at the upper end. */
  highest: string;
  /** Share of the estimates' variance that is lost when this choice is left out of the model. */
  share: number;
}

/**
 * Which choice moves the answer most: a linear model of the estimates with a term for each option
 * of each dimension, no products. Paths are not a sample, so there are no limits and no p values.
 * What the shares leave of 1 is what choices do only together, or what they share because some
 * combinations were not made. Largest spread first.
 *
 * Cost O(paths k^2) for k options in all.
 */
export function choiceInfluence(
  dimensions: readonly Dimension[],
  paths: readonly { choices: Choices; estimate: number }[],
): ChoiceInfluence[] {
  const used = dimensions.map(({ id, label, options }) => ({
    id,
    label,
    options: options.filter((option) => paths.some(({ choices }) => choices[id] === option.id)),
  }));
  const mean = paths.reduce((sum, { estimate }) => sum + estimate, 0) / paths.length;
  const total = paths.reduce((sum, { estimate }) => sum + (estimate - mean) ** 2, 0);
  const whole = fit(used, paths, mean);
  return used.map((dimension) => {
    const without = fit(used.filter((other) => other !== dimension), paths, mean);
    const effects = dimension.options.map(({ label }, k) => ({
      label,
      effect: k === 0 ? 0 : whole.effects.get(`${dimension.id} ${dimension.options[k]!.id}`) ?? 0,
    })).sort((a, b) => a.effect - b.effect);
    const [lowest, highest] = [effects[0]!, effects.at(-1)!];
    return {
      dimension: dimension.id,
      label: dimension.label,
      spread: highest.effect - lowest.effect,
      lowest: lowest.label,
      highest: highest.label,
      share: total > 0 ? Math.max(0, (without.residual - whole.residual) / total) : 0,
    };
  }).sort((a, b) => b.spread - a.spread);
}

/** Least squares on 0/1 columns, the first option of each dimension the reference. */
function fit(
  dimensions: readonly Dimension[],
  paths: readonly { choices: Choices; estimate: number }[],
  mean: number,
): { residual: number; effects: Map<string, number> } {
  const terms = dimensions.flatMap(({ id, options }) =>
    options.slice(1).map((option) => ({ dimension: id, option: option.id }))
  );
  const q = terms.length + 1;
  const rowOf = ({ choices }: { choices: Choices }) => [
    1,
    ...terms.map(({ dimension, option }) => choices[dimension] === option ? 1 : 0),
  ];
  const matrix = new Float64Array(q * q);
  const right = new Float64Array(q);
  for (const path of paths) {
    const row = rowOf(path);
    row.forEach((a, j) => {
      right[j]! += a * (path.estimate - mean);
      row.forEach((b, k) => matrix[j * q + k]! += a * b);
    });
  }
  const beta = solveFactored(factorSymmetric(matrix, q), right);
  let residual = 0;
  for (const path of paths) {
    const fitted = rowOf(path).reduce((sum, a, j) => sum + a * beta[j]!, 0);
    residual += (path.estimate - mean - fitted) ** 2;
  }
  const effects = new Map(terms.map(({ dimension, option }, k) => [
    `${dimension} ${option}`,
    beta[k + 1]!,
  ]));
  return { residual, effects };
}
