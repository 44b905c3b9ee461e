import { type WeightedSample, weightedSample } from "../../balance/samples/mod.ts";
import { drawnNotes } from "../../cohort/analysis/mod.ts";
import type { Analysis } from "../../cohort/model/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import { enoughOf } from "./open-analysis.ts";

/** Patients enough to ask over and over what an answer hangs on, and what is said of them. */
export interface EnoughToRepeat {
  /** All of them, or those drawn at random: see `enoughOf`. */
  readonly some: Analysis;
  /** What captions have to say of it: nothing where all of them are in. */
  readonly drawn: string[];
  /** Their score and weights: of those drawn, made anew when first asked for. */
  readonly weighting: WeightedSample;
}

/**
 * Patients enough for what repeats an analysis, with their score and weights and what captions say
 * of them: the analysis and the weights given, up to 50,000 patients; of more, 50,000 drawn by
 * the plan's seed, scored and weighted anew as planned.
 *
 * Cost: nothing where all are in; else that of `enoughOf`, and of `weightedSample` where the score
 * or the weights are asked for.
 *
 * @example
 * ```ts
 * import { enoughToRepeat, openAnalysis, weightedSample } from "mitral";
 * const { study, analysis } = await openAnalysis();
 * const whole = weightedSample(analysis, study);
 * const { some, drawn, weighting } = await enoughToRepeat(analysis, study, whole);
 * some === analysis && weighting === whole; // true: there are no more than 50,000
 * ```
 * @param weighting The weights of everybody, as planned.
 * @throws {DataError} where missing covariates of those drawn cannot be treated as planned, or they
 * cannot be scored.
 */
export async function enoughToRepeat(
  analysis: Analysis,
  study: Study,
  weighting: WeightedSample,
): Promise<EnoughToRepeat> {
  const some = await enoughOf(analysis);
  let made = some === analysis ? weighting : undefined;
  return {
    some,
    drawn: drawnNotes(some, analysis),
    get weighting() {
      return made ??= weightedSample(some, study);
    },
  };
}
