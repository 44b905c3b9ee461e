/** Estimates from completed data sets, as one. @module */
export { type PooledEstimate, poolImputations } from "./pool-imputations.ts";
