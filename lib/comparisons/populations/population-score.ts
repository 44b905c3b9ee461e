import {
  averagedScore,
  keptScores,
  propensityScore,
  type StudyPropensity,
  studyPropensity,
} from "../../balance/score/mod.ts";
import { completedAnalyses } from "../../cohort/analysis/mod.ts";
import type { Analysis } from "../../cohort/model/mod.ts";
import type { LogisticFit } from "../../regression/models/mod.ts";
import { quietly, raised } from "../../numerics/mod.ts";

/** A score for the patients of one population. */
export interface PopulationScore extends StudyPropensity {
  /**
   * `anew`: every coefficient fitted in the population; `adapted`: the score of everybody, its
   * level and slope fitted in the population.
   */
  made: "anew" | "adapted";
}

// Patients of the smaller group for each coefficient below which a fit is not trusted (common
// practice is 10, no source; overlap weights need less, since they balance what was fitted).
const fewest = 2;

/**
 * The propensity score of a population, fitted anew.
 *
 * Where the population is too small for that, or its covariates tell the groups apart (unless only
 * the overlap counts, whose weights leave such patients out), the score of everybody is adapted: a
 * logistic regression on its linear predictor alone, which lets the choice be more or less frequent
 * and more or less decided than elsewhere, in the population's own patients.
 *
 * @param whole The score of everybody, and the rows of everybody that the population is.
 * @throws {DataError} if a group is empty.
 */
export function populationScore(
  analysis: Analysis,
  whole: { propensity: StudyPropensity; rows: Int32Array },
): PopulationScore {
  const { propensity, rows } = whole;
  // of everybody there is a score already, and no other to adapt
  if (rows.length === propensity.score.length) return { ...propensity, made: "anew" };
  const given = [propensity, ...propensity.inSets ?? []].map((one) => one.linearPredictor);
  const scores = keptScores(analysis, ["population score", given], () => {
    let near: LogisticFit | undefined;
    return completedAnalyses(analysis).map((set, k) => {
      const whole = propensity.inSets?.[k] ?? propensity;
      const { score, anew } = quietly(() => scoreIn(set, { propensity: whole, rows }, near));
      near = anew;
      return score;
    });
  });
  const score = averagedScore(scores);
  // adapted in a single set, it is not the plan's score
  const made = scores.some((one) => one.made === "adapted") ? "adapted" : "anew";
  return { ...score, made, warnings: raised(score.warnings) };
}

function scoreIn(
  analysis: Analysis,
  whole: { propensity: StudyPropensity; rows: Int32Array },
  from: LogisticFit | undefined,
): { score: PopulationScore; anew: LogisticFit } {
  const anew = studyPropensity(analysis, analysis.study, from && { from });
  const { fit } = anew;
  const smaller = Math.min(fit.events, fit.n - fit.events);
  // where only one operation was done, overlap weights are 0, and what is left is balanced
  const sound = analysis.study.estimand === "overlap" ||
    (fit.converged && fit.separated.length === 0);
  if (sound && smaller >= fewest * (fit.terms.length - 1)) {
    return { score: { ...anew, made: "anew" }, anew: fit };
  }
  const predictor = Float64Array.from(
    whole.rows,
    (row) => whole.propensity.linearPredictor[row]!,
  );
  const adapted = propensityScore({
    treated: analysis.treated,
    covariates: { "score of everybody": predictor },
  });
  const { design } = anew;
  return {
    score: { ...adapted, design, warnings: [...design.notes], made: "adapted" },
    anew: fit,
  };
}
