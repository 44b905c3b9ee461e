import { type MatchedEachWay, matchedEachWay } from "../../balance/choices/mod.ts";
import { alikeLabels, type PairedRows, underMatching } from "../../balance/samples/mod.ts";
import { matchPairs, setsOf } from "../../balance/match/mod.ts";
import type { StudyPropensity } from "../../balance/score/mod.ts";
import type { EndpointFollowUp } from "../../cohort/follow-up/mod.ts";
import type { Analysis } from "../../cohort/model/mod.ts";
import { type SurvivalContrast, survivalDifference } from "../../competing/incidence/mod.ts";
import { fewerOfMany, SeededRandom } from "../../numerics/mod.ts";
import type { Study } from "../../study/file/mod.ts";

/** Pairs made in one order, and what survival is in them. */
export interface MatchingOrder extends MatchedEachWay {
  /** At the plan's main horizon, repair minus replacement. */
  contrast: SurvivalContrast;
}

/** The matched answer in every order that there is a name for, and in orders drawn by lot. */
export interface MatchingOrders {
  /** Orders that have a name. */
  named: MatchingOrder[];
  /** Differences of survival at the main horizon, ascending, one an order drawn. */
  drawn: Float64Array;
}

/**
 * How far the matched difference in survival hangs on the order in which patients look for
 * partners, which no plan has a reason for: in each order that has a name, and in orders
 * drawn by lot.
 *
 * The spread is no sampling error: the patients are the same throughout.
 *
 * The more patients, the less hangs on it: of more than 20,000 fewer orders are drawn, in inverse
 * proportion, at least 10. `drawn` has one number an order.
 *
 * @param options.draws Orders drawn by lot, default 50, of many patients fewer.
 * @throws {DataError} as `matchedSample` and `underMatching`.
 */
export function matchingOrders(
  analysis: Analysis,
  study: Study,
  followUp: EndpointFollowUp,
  options: { propensity: StudyPropensity; draws?: number },
): MatchingOrders {
  const { propensity, draws = fewerOfMany(50, analysis.n, 10) } = options;
  const { mainHorizon, confidence } = study;
  const contrastOf = (pairs: PairedRows): SurvivalContrast[] =>
    survivalDifference(underMatching(followUp, pairs), { times: [mainHorizon], confidence });
  const named = matchedEachWay(analysis, study, { propensity })
    .flatMap((way) => contrastOf(way.sample).map((contrast) => ({ ...way, contrast })));
  const drawn: number[] = [];
  for (const pairs of shuffledMatches(analysis, study, { propensity, draws })) {
    for (const { difference } of contrastOf(pairs)) drawn.push(difference.estimate);
  }
  return { named, drawn: Float64Array.from(drawn).sort() };
}

/**
 * Pairs matched one by one, in orders drawn by lot from the study's seed; one after the other, so
 * that those of one order alone are held.
 *
 * @throws {DataError} as {@link matchPairs}.
 */
export function* shuffledMatches(
  analysis: Analysis,
  study: Study,
  { propensity, draws }: { propensity: StudyPropensity; draws: number },
): Generator<PairedRows> {
  const { alike, caliper, partners, reuse } = study.matching;
  const labels = alike.length > 0 ? alikeLabels(analysis, alike) : undefined;
  const score = propensity.linearPredictor;
  const random = new SeededRandom(study.seed);
  for (let draw = 0; draw < draws; draw++) {
    const order = random.shuffle(Int32Array.from({ length: analysis.n }, (_, row) => row));
    const { pairs } = matchPairs({
      treated: Uint8Array.from(order, (row) => analysis.treated[row]!),
      score: Float64Array.from(order, (row) => score[row]!),
      ...(labels && { alike: Array.from(order, (row) => labels[row]!) }),
    }, { caliper, partners, reuse, begin: "as-listed", search: "one-by-one" });
    yield setsOf(pairs.map(([one, other]) => [order[one]!, order[other]!]));
  }
}
