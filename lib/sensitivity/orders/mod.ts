/** What the order in which patients look for partners does to the answer. @module */
export {
  type MatchingOrder,
  type MatchingOrders,
  matchingOrders,
  shuffledMatches,
} from "./matching-orders.ts";
