import type { SeededRandom } from "../../numerics/mod.ts";
import type { LearningColumns } from "./learning-data.ts";

/** What of an outcome is chance, about what was fitted. */
export interface Noise {
  residuals: Float64Array;
  /** Variance of each row, up to the scale. */
  variance: Float64Array;
  scale: number;
  /** Residuals as they might have been. */
  draw(random: SeededRandom): Float64Array;
  /** Variance of each row's residual as drawn. */
  drawnVariance: Float64Array;
}

/**
 * Events are drawn anew from their fitted chances; the residual of an amount keeps its size and is
 * given a sign by chance, so that rows may vary unequally (Liu 1988, Ann Stat 16:1696).
 */
export function noiseAbout(fitted: Float64Array, { kind, outcome }: LearningColumns): Noise {
  const residuals = outcome.map((y, i) => y - fitted[i]!);
  if (kind === "event") {
    const variance = fitted.map((chance) => chance * (1 - chance));
    return {
      residuals,
      variance,
      drawnVariance: variance,
      scale: 1,
      draw: (random) => fitted.map((chance) => random.bernoulli(chance) - chance),
    };
  }
  return {
    residuals,
    variance: fitted.map(() => 1),
    drawnVariance: residuals.map((r) => r * r),
    scale: residuals.reduce((sum, r) => sum + r * r, 0) / residuals.length,
    draw: (random) => residuals.map((r) => random.bernoulli(0.5) === 1 ? r : -r),
  };
}
