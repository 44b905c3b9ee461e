import { inventedSurvival } from "./examples/invented.ts";

export const repair = inventedSurvival({ n: 412, rate: 0.06, seed: 1 });

// By hand: five patients seen for 1, 2, 2, 3 and 5 years, all but the one at 3 years died.
export const five = {
  time: [1, 2, 3, 5],
  survival: [0.8, 0.4, 0.4, 0],
  lower: [0.6, 0.2, 0.2, NaN],
  upper: [1, 0.7, 0.7, NaN],
  atRisk: [5, 4, 2, 1],
};
