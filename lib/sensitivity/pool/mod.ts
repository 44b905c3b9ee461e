export { type PooledEstimate, poolImputations } from "./pool-imputations.ts";
