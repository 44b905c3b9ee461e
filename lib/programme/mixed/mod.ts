/** Models with a random part for each surgeon. @module */
export {
  type MixedTerm,
  type RandomInterceptFit,
  randomInterceptLogistic,
  type UnitEffect,
} from "./random-intercept.ts";
export { mixedRows, type PreparedRows, type RandomInterceptData } from "./rows.ts";
export { baseOf, climbMixed, type MixedClimb } from "./climb.ts";
export { normalQuadrature } from "./gauss-hermite.ts";
