/** Numbers and names as readers see them. @module */
export { chiSquareText } from "./chi-square-text.ts";
export { countText } from "./count-text.ts";
export {
  formatChange,
  formatEstimate,
  formatNumber,
  formatP,
  formatPercent,
  formatPValue,
  formatRange,
  formatTest,
  levelText,
  noValue,
  per100,
  roundTo,
  shareText,
  tooFewToTest,
} from "./format.ts";
export { capitalized, inSentence, uncapitalized } from "./first-letter.ts";
export { effectiveMeans } from "./effective-means.ts";
export { listText } from "./list-text.ts";
export { checkItemName, itemName, longestItemName } from "./item-name.ts";
export { timeLeftText } from "./time-left.ts";
export {
  type ComparedNumbers,
  pairInWords,
  type PrintedPair,
  rangeDigits,
  rangeInWords,
} from "./whole-patients.ts";
