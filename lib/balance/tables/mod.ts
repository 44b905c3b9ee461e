/** Characteristics and balance as rows, with small counts withheld. @module */
export { type BalanceTable, balanceTable } from "./balance-table.ts";
export type {
  AdjustedWeights,
  BalanceMeasures,
  BeforeAfter,
  CovariateBalance,
  WeightsInSets,
} from "./covariate-balance.ts";
export { characteristics, type CharacteristicsTable } from "./characteristics.ts";
export { earlyResults, whatWasDone } from "./operation-tables.ts";
export { unmatchedProfile } from "./unmatched-profile.ts";
