/** Characteristics and balance as rows, with small counts withheld. @module */
export {
  type AdjustedWeights,
  type BalanceTable,
  balanceTable,
  type BeforeAfter,
  type CovariateBalance,
} from "./balance-table.ts";
export { characteristics, type CharacteristicsTable } from "./characteristics.ts";
export { earlyResults, whatWasDone } from "./operation-tables.ts";
export { unmatchedProfile } from "./unmatched-profile.ts";
