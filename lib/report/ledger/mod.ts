/** Benefit and harm of one population side by side. @module */
export { ledgerOf } from "./ledger-of.ts";
export { shareBetween } from "./share-between.ts";
