/** Two groups' numbers side by side, and the tables of the first page. @module */
export {
  type ComparedPair,
  comparedPair,
  contrastAt,
  differenceColumns,
  estimatesOf,
  hundredfold,
  limitColumns,
  noPair,
  type ShownContrast,
} from "./contrasts.ts";
export {
  type GridCell,
  gridCells,
  gridId,
  gridTable,
  type GridVerdict,
  gridVerdictWords,
  shortNames,
} from "./grid-table.ts";
export { ledgerId, type LedgerLine, ledgerLines, ledgerTable } from "./ledger-table.ts";
