import {
  binaryColumn,
  checkChoice,
  checkDataColumns,
  numberColumn,
  type Numbers,
} from "../../numerics/mod.ts";
import type { Estimand } from "./balancing-weights.ts";

/**
 * How much each row counts in the population that an estimand speaks of, whichever group it is in:
 * 1 for everyone, 1 in the treated alone, or e (1 - e) in the overlap.
 *
 * For what is predicted for every row and then averaged; `balancingWeights` are for what is
 * observed in one group.
 *
 * @example
 * ```ts
 * import { populationWeights } from "mitral";
 * populationWeights({ treated: [1, 0], score: [0.8, 0.5] }, { estimand: "overlap" }); // [0.16, 0.25]
 * ```
 * @param data.score From 0 to 1.
 * @throws {DataError}
 * @see Li, Morgan & Zaslavsky (2018) JASA 113:390-400.
 */
export function populationWeights(
  data: { treated: Numbers; score: Numbers },
  options: { estimand: Estimand },
): Float64Array {
  checkDataColumns("populationWeights", data, ["treated", "score"]);
  const estimand = checkChoice("estimand", options.estimand, ["everyone", "treated", "overlap"]);
  const treated = binaryColumn("treated", data.treated);
  const score = numberColumn("score", data.score, { length: treated.length, min: 0, max: 1 });
  return score.map((e, row) =>
    estimand === "everyone" ? 1 : estimand === "treated" ? treated[row]! : e * (1 - e)
  );
}
