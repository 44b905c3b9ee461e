/** Estimates from completed sets, as one; and how many sets to make. @module */
export { type PooledEstimate, poolImputations } from "./pool-imputations.ts";
export {
  type Contrast,
  poolContrast,
  type PoolContrastOptions,
  poolContrasts,
  type Pooled,
  type PooledContrast,
  poolIntervals,
  type PoolOptions,
  widening,
} from "./pool-contrasts.ts";
export { medianP, poolRatio, type Ratio } from "./pool-ratios.ts";
export { type PoolCurveOptions, poolIncidence, poolSurvival } from "./pool-curves.ts";
export { setsForIncomplete, setsForMany, setsForPrecision } from "./sets-needed.ts";
