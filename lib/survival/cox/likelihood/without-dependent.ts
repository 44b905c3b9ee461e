import { factorSymmetric } from "../../../numerics/mod.ts";
import type { ScaledColumns } from "../rows/mod.ts";
import type { Evaluate, Evaluation } from "./likelihood.ts";
import { COLLINEAR } from "./newton.ts";

/**
 * Drops covariates that carry no information at 0, or none beyond earlier ones.
 *
 * @param likelihood Of a layout.
 * @param keep The same layout with only some of the covariates.
 */
export function withoutDependent<Design extends ScaledColumns>(
  full: Design,
  likelihood: (design: Design) => Evaluate,
  keep: (design: Design, kept: number[]) => Design,
): { design: Design; kept: number[]; evaluate: Evaluate; start: Evaluation } {
  const { p } = full;
  const evaluate = likelihood(full);
  const start = evaluate(new Float64Array(p));
  const information = start.information.slice();
  for (let j = 0; j < p; j++) {
    // Scaled covariates vary by about 1, so information is at most about the number of events:
    // what is left of a covariate constant within every risk set is rounding.
    const least = full.range[j] === 0 ? Infinity : 1e-12 * full.n;
    if (information[j * p + j]! > least) continue;
    for (let i = 0; i < p; i++) information[i * p + j] = information[j * p + i] = 0;
  }
  const { dropped } = factorSymmetric(information, p, COLLINEAR);
  const all = Array.from({ length: p }, (_, j) => j);
  if (dropped.length === 0) return { design: full, kept: all, evaluate, start };
  const kept = all.filter((j) => !dropped.includes(j));
  const design = keep(full, kept);
  const again = likelihood(design);
  return { design, kept, evaluate: again, start: again(new Float64Array(kept.length)) };
}
