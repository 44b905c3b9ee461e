/** Models with a random part for each surgeon. @module */
export {
  type MixedTerm,
  type RandomInterceptData,
  type RandomInterceptFit,
  randomInterceptLogistic,
  type UnitEffect,
} from "./random-intercept.ts";
