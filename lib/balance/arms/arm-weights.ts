import {
  checkDataColumns,
  checkLength,
  DataError,
  type Labels,
  numberColumn,
} from "../../numerics/mod.ts";
import { armColumn } from "./arm-labels.ts";
import type { ArmScores } from "./arm-scores.ts";

/** Whom a weighted comparison of several arms is about: everyone, the overlap, or one arm. */
export type ArmEstimand = "everyone" | "overlap" | { target: string | number };

/**
 * Weights that make several arms resemble one population, from the chances e of each arm.
 *
 * | estimand | weight of a row | whom it is about |
 * | --- | --- | --- |
 * | everyone | 1 / e of its own arm | all patients |
 * | overlap | (1 / e of its own arm) / sum over arms of 1 / e | those who could have been in any arm |
 * | { target } | e of the target arm / e of its own arm | those in the target arm |
 *
 * Not normalised and not truncated: means and curves within an arm need neither. With two arms the
 * overlap weights are those of `balancingWeights`. Cost O(n arms).
 *
 * @example
 * ```ts
 * import { armScores, armWeights } from "mitral";
 * const arm = ["repair", "replacement", "repair", "replacement", "repair", "replacement"];
 * const covariates = { age: [61, 72, 70, 55, 68, 66] };
 * armWeights({ arm, scores: armScores({ arm, covariates }) }, { estimand: { target: "repair" } });
 * ```
 * @param data.scores What `armScores` gave for these rows.
 * @throws {DataError} where a row's own arm has no chance, or the target is no arm.
 * @see Li & Li (2019) Ann Appl Stat 13:2389-2415 (overlap of several arms); Imbens (2000)
 * Biometrika 87:706-710.
 */
export function armWeights(
  data: { arm: Labels; scores: Pick<ArmScores, "arms" | "score"> },
  options: { estimand: ArmEstimand },
): Float64Array {
  checkDataColumns("armWeights", data, ["arm", "scores"]);
  const { codes, labels } = armColumn(data.arm);
  const { arms, score } = data.scores;
  if (arms.length !== labels.length || arms.some((arm, k) => arm !== labels[k])) {
    throw new DataError("scores.arms", `those of the rows, ${labels.join(", ")}`, arms.join(", "));
  }
  checkLength("scores.score", score, arms.length);
  const n = codes.length;
  const columns = score.map((column, k) =>
    numberColumn(`scores.score[${k}]`, column, { length: n, min: 0, max: 1 })
  );
  const chance = (row: number) => {
    const e = columns[codes[row]!]![row]!;
    if (!(e > 0)) {
      throw new DataError(
        `scores.score[${codes[row]}]`,
        "above 0 for a row of its own arm",
        e,
        row,
      );
    }
    return e;
  };
  const { estimand } = options;
  if (estimand === "everyone") return Float64Array.from(codes, (_, row) => 1 / chance(row));
  if (estimand === "overlap") {
    return Float64Array.from(codes, (_, row) => {
      const own = chance(row);
      let sum = 0;
      for (const column of columns) sum += own / column[row]!;
      return 1 / sum;
    });
  }
  if (typeof estimand !== "object" || estimand === null || !("target" in estimand)) {
    throw new DataError("estimand", '"everyone", "overlap" or { target: an arm }', estimand);
  }
  const target = labels.indexOf(estimand.target);
  if (target < 0) {
    throw new DataError("estimand.target", `one of ${labels.join(", ")}`, estimand.target);
  }
  return Float64Array.from(
    codes,
    (code, row) => code === target ? 1 : columns[target]![row]! / chance(row),
  );
}
