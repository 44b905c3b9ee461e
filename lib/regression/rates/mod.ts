/** Proportions and rates with their limits. @module */
export { type LinearisedRate, linearisedRates, type RatePeriod } from "./linearised-rates.ts";
export { proportionInterval } from "./proportion-interval.ts";
export { rateInterval } from "./rate-interval.ts";
export { type RateCount, type RateRatio, rateRatio } from "./rate-ratio.ts";
export { standardizedRatio } from "./standardized-ratio.ts";
