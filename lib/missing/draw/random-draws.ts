import { type Factor, type SeededRandom, solveTransposed } from "../../numerics/mod.ts";

/**
 * A chi-square variate with more than 0 degrees of freedom, as twice a gamma one.
 *
 * @see Marsaglia & Tsang (2000) ACM TOMS 26:363-372; below shape 1 their boost by
 * a uniform's power.
 */
export function drawChiSquare(random: SeededRandom, degreesOfFreedom: number): number {
  const shape = degreesOfFreedom / 2;
  const raised = shape < 1 ? shape + 1 : shape;
  const d = raised - 1 / 3;
  const c = 1 / Math.sqrt(9 * d);
  for (;;) {
    const x = random.normal();
    const v = (1 + c * x) ** 3;
    if (v <= 0) continue;
    if (Math.log(random.uniform()) >= x * x / 2 + d - d * v + d * Math.log(v)) continue;
    const boost = shape < 1 ? random.uniform() ** (1 / shape) : 1;
    return 2 * d * v * boost;
  }
}

/**
 * A draw from the normal distribution around `centre` with precision matrix L L', times `spread`.
 * Variables whose pivot was dropped stay at their centre.
 */
export function drawAround(
  centre: Float64Array,
  factor: Factor,
  random: SeededRandom,
  spread = 1,
): Float64Array {
  const step = centre.map(() => random.normal());
  solveTransposed(factor, step);
  return step.map((value, j) => centre[j]! + spread * value);
}
