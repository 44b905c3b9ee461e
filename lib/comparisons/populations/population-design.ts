import { overlapOf } from "../../balance/alike/mod.ts";
import { type WeightedSample, weightedSample } from "../../balance/samples/mod.ts";
import type { StudyPropensity } from "../../balance/score/mod.ts";
import { type BalanceTable, balanceTable } from "../../balance/tables/mod.ts";
import { patientsAmong } from "../../cohort/analysis/mod.ts";
import { keepAnswersAmong, keptAnswer } from "../../cohort/kept/mod.ts";
import type { Analysis } from "../../cohort/model/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import { type PopulationScore, populationScore } from "./population-score.ts";
import { levelText } from "../../words/mod.ts";

/** One population made ready for its comparison, or why it cannot be. */
export interface PopulationDesign {
  /** Its patients as an analysis of their own. */
  analysis: Analysis;
  /** The propensity score; null where it cannot be modelled. */
  score: PopulationScore | null;
  /** The weights; null where they cannot be made. */
  sample: WeightedSample | null;
  /** Balance before and after; null without weights. */
  balance: BalanceTable | null;
  /** Why no number is shown, one reason a phrase; empty where numbers are. */
  shortOf: string[];
}

/**
 * Scores and weighs the patients of one population anew, and judges whether the groups are alike
 * enough, and many enough, for a comparison: by the plan's `enough`.
 *
 * @param rows Of the whole analysis.
 * @param propensity The score of everybody.
 */
export function populationDesign(
  whole: Analysis,
  { rows, label }: { rows: Int32Array; label: string },
  propensity: StudyPropensity,
): PopulationDesign {
  const { study } = whole;
  const analysis = rows.length === whole.n
    ? whole
    : patientsAmong(whole, rows, { id: "population", reason: `not in: ${label}` }, {
      listed: false,
    });
  keepAnswersAmong(analysis, whole, rows);
  const { counts, phrases } = analysis.groups;
  const nobody = (["repair", "replacement"] as const).filter((arm) => counts[arm] < 2);
  if (nobody.length > 0) {
    const shortOf = nobody.map((arm) => `hardly anybody had ${phrases[arm]}`);
    return { analysis, score: null, sample: null, balance: null, shortOf };
  }
  const score = populationScore(analysis, { propensity, rows });
  const sample = weightedSample(analysis, study, { propensity: score });
  const weights = [sample, ...sample.inSets ?? []].map(({ weight }) => weight);
  const balance = keptAnswer(
    analysis,
    ["population balance", weights],
    () => balanceTable(analysis, study, { weighted: sample, shapes: false }),
  );
  return { analysis, score, sample, balance, shortOf: shortfall(analysis, sample, balance) };
}

function shortfall(
  { study, groups, treated }: Analysis,
  sample: WeightedSample,
  balance: BalanceTable,
): string[] {
  const { effectiveNumber, overlap, difference } = study.enough;
  const few = (["repair", "replacement"] as const).filter((arm) =>
    sample[arm].effective < effectiveNumber.value
  ).map((arm) =>
    `fewer than ${effectiveNumber.value} patients' worth of information after ${
      groups.phrases[arm]
    }`
  );
  const { outside } = overlapOf({ treated, score: sample.propensity.score });
  const alone = ([["repair", "treated"], ["replacement", "controls"]] as const).filter(
    ([arm, side]) => 1 - outside[side] / groups.counts[arm] < overlap.value,
  ).map(([arm]) => `too few after ${groups.phrases[arm]} have a counterpart`);
  const largest = balance.largest.afterWeighting ?? 0;
  const unlike = largest > difference.value
    ? [`the groups stay unlike (a standardised difference above ${difference.value})`]
    : [];
  return [...few, ...alone, ...unlike];
}

/** The thresholds below which a number is not shown, in words with where they are from. */
export function enoughInWords({ enough }: Pick<Study, "enough">): string {
  const { effectiveNumber, overlap, events, difference } = enough;
  const parts = [
    `an effective number of ${effectiveNumber.value} in each group (${effectiveNumber.source})`,
    `a counterpart for ${levelText(overlap.value)} of each group (${overlap.source})`,
    `${events.value} events (${events.source})`,
    `no standardised difference above ${difference.value} (${difference.source})`,
  ];
  return `Numbers are shown where there are at least ${parts.slice(0, 3).join(", ")}, and ${
    parts[3]
  }.`;
}
