/**
 * Columns as estimators take them: checked, ordered, with ties found, and the errors that name what
 * is wrong.
 *
 * @module
 */
export {
  binaryColumn,
  checkChoice,
  checkConfidence,
  checkLength,
  checkNumber,
  checkProfile,
  checkWhole,
  covariateColumns,
  type FollowUp,
  type FollowUpColumns,
  followUpColumns,
  type GroupColumn,
  groupColumn,
  type Labels,
  numberColumn,
  type Numbers,
} from "./columns.ts";
export { checkDataColumns, FOLLOW_UP, isOneOff } from "./data-columns.ts";
export { type Direction, directionOf, turned, turnedOver } from "./direction.ts";
export { DataError } from "./errors.ts";
export { filterRows, type PlainColumn } from "./filter-rows.ts";
export { orderOf, sortedColumn } from "./order.ts";
export type { Interval, Limits, Test } from "./results.ts";
export {
  type LaterColumn,
  openPacked,
  packColumns,
  packedBytes,
  type PackedColumn,
  type PackedSource,
} from "./packed-columns.ts";
export { TIE_TOLERANCE } from "./ties.ts";
export { placesOf, valuesAt } from "./values-at.ts";
export { onWarning, quietly, raised, withWarnings } from "./warnings.ts";
export { checkYears, MOST_YEARS } from "./years.ts";
