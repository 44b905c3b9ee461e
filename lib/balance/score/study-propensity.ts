import { completedAnalyses } from "../../cohort/analysis/mod.ts";
import { keptAnswer } from "../../cohort/kept/mod.ts";
import type { Analysis } from "../../cohort/model/mod.ts";
import { DataError, MANY, raised } from "../../numerics/mod.ts";
import { type LogisticFit, predictionBy } from "../../regression/models/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import { type DesignMatrix, designMatrix } from "./design-matrix.ts";
import { type Propensity, propensityScore } from "./propensity.ts";
import { averagedScore } from "./averaged-score.ts";

/** The study's propensity score: the chance of repair given what was known before. */
export interface StudyPropensity extends Propensity {
  /** Covariates as columns of numbers. */
  design: DesignMatrix;
  /**
   * Where missing covariates are imputed: the score fitted in each completed set. `score` and
   * `linearPredictor` are then those of the mean over the sets; model and design of the first set.
   */
  inSets?: readonly StudyPropensity[];
  /** What a reader must know before trusting it: no convergence, separation, thin data. */
  warnings: string[];
}

// Fewer of the smaller group for each coefficient than this is thin (common practice, no source).
const rowsForEachCoefficient = 10;

/**
 * The propensity score as planned: adjustment covariates in their planned
 * forms, logistic regression.
 *
 * Where covariates separate the groups the score is as near 0 or 1 as the fit went, for the
 * patients concerned: overlap weights then give them next to nothing and a caliper leaves them
 * unmatched, but weights for everyone explode. `warnings` says which.
 *
 * Where the plan has missing covariates imputed, the score is fitted anew in each completed set:
 * what is made from it is to be made in each too (see `inSets`), and only what is not pooled uses
 * the mean.
 *
 * @param options.from A fit of the same covariates, from which the search begins; each completed
 * set's begins from the one before.
 * @throws {DataError} if a group is empty, and as {@link designMatrix} does.
 */
export function studyPropensity(
  analysis: Analysis,
  study: Study,
  { from }: { from?: LogisticFit } = {},
): StudyPropensity {
  const { labels, counts } = analysis.groups;
  if (counts.repair === 0 || counts.replacement === 0) {
    const found =
      `${labels.repair}: ${counts.repair}, ${labels.replacement}: ${counts.replacement}`;
    throw new DataError("analysis.groups", "two groups with patients, to be compared", found);
  }
  const make = () => {
    let near = from;
    return completedAnalyses(analysis).map((set) => {
      const score = scoreIn(set, study, near);
      near = score.fit;
      return score;
    });
  };
  const isPlanned = study === analysis.study && from === undefined;
  const score = averagedScore(isPlanned ? keptScores(analysis, "score", make) : make());
  return { ...score, warnings: raised(score.warnings) };
}

/**
 * Scores in completed sets as an earlier run made them (see `keptAnswer`); the columns of their
 * models are not kept, and made again where they are asked for.
 *
 * @param make Makes them by the plan of the analysis.
 */
export function keptScores<Score extends StudyPropensity>(
  analysis: Analysis,
  question: unknown,
  make: () => Score[],
): Score[] {
  let made: Score[] | undefined;
  const kept = keptAnswer(analysis, question, () => {
    made = make();
    return made.map(({ design: { covariates: _, ...design }, fit, ...score }) => {
      const { probabilityFor: __, ...found } = fit;
      return { ...score, fit: found, design };
    });
  });
  const sets = completedAnalyses(analysis);
  return made ?? kept.map((score, k) => {
    let covariates: DesignMatrix["covariates"] | undefined;
    const design: DesignMatrix = {
      ...score.design,
      get covariates() {
        return covariates ??= designMatrix(sets[k]!, analysis.study).covariates;
      },
    };
    const fit: LogisticFit = { ...score.fit, probabilityFor: predictionBy(score.fit.terms) };
    return { ...score, fit, design } as unknown as Score;
  });
}

function scoreIn(analysis: Analysis, study: Study, from?: LogisticFit): StudyPropensity {
  const design = designMatrix(analysis, study);
  const propensity = propensityScore({
    treated: analysis.treated,
    covariates: design.covariates,
  }, from && { from });
  const { fit } = propensity;
  const warnings = [...design.notes];
  if (fit.separated.length > 0) {
    warnings.push(
      `The propensity model is separated by ${fit.separated.join(", ")}: only one of the two ` +
        "operations was done in some of these patients, and no adjustment can say what the other " +
        "would have done for them.",
    );
  } else if (!fit.converged) warnings.push(`The propensity model: ${fit.reason}.`);
  if (fit.dropped.length > 0) {
    warnings.push(
      `Some covariates are not in the propensity model, since others say the same: ${
        fit.dropped.join(", ")
      }.`,
    );
  }
  const smaller = Math.min(fit.events, fit.n - fit.events);
  const coefficients = fit.terms.length - 1;
  if (smaller < rowsForEachCoefficient * coefficients) {
    warnings.push(
      // how many these are would tell of a population's groups what is withheld elsewhere
      `The propensity model has ${coefficients} coefficients, and the smaller group fewer than ` +
        `${rowsForEachCoefficient} patients for each.`,
    );
  }
  // from so many patients on, the columns of a model are not kept beside it
  if (analysis.n < MANY) return { ...propensity, design, warnings };
  return { ...propensity, warnings, design: madeAnew(design, analysis, study) };
}

/**
 * Of many patients in many sets the columns would fill the memory: they are made again if asked
 * for, and not where what holds them is copied.
 */
function madeAnew(
  { covariates: _, ...others }: DesignMatrix,
  analysis: Analysis,
  study: Study,
): DesignMatrix {
  return {
    ...others,
    get covariates() {
      return designMatrix(analysis, study).covariates;
    },
  };
}
