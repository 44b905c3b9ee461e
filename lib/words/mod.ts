/** Numbers and names as readers see them. @module */
export { countText } from "./count-text.ts";
export {
  formatEstimate,
  formatNumber,
  formatP,
  formatPercent,
  formatPValue,
  formatRange,
  formatTest,
  noValue,
  roundTo,
  tooFewToTest,
} from "./format.ts";
export { checkItemName, itemName, longestItemName } from "./item-name.ts";
