import {
  type ArmBalance,
  armBalance,
  type ArmScores,
  armScores,
  armWeights,
  equalMeans,
} from "../../balance/arms/mod.ts";
import { designMatrix, meanOver } from "../../balance/score/mod.ts";
import { completedAnalyses, patientsAmong } from "../../cohort/analysis/mod.ts";
import { keepAnswersAmong } from "../../cohort/kept/mod.ts";
import { type Analysis, hasColumn, textColumn } from "../../cohort/model/mod.ts";
import { meanOf } from "../../numerics/mod.ts";
import type { PlannedComparison } from "../../study/plan/mod.ts";
import { type ArmRows, armRows } from "./arm-rows.ts";

/** A comparison of several arms, scored and weighted, or why it cannot be made. */
export interface ArmDesign {
  /** The comparison as the plan has it. */
  comparison: PlannedComparison;
  /** Patients of each arm, and those left out. */
  counts: ArmRows;
  /** The patients of the arms as an analysis of their own. */
  analysis: Analysis;
  /** Chance of each arm; null where it cannot be modelled. */
  scores: ArmScores | null;
  /** One a patient; null without scores. */
  weight: Float64Array | null;
  /**
   * Where missing covariates are imputed: the weights of each completed set, of which `weight` is
   * the mean; scores are those of the first set, and balance is the mean over the sets.
   */
  weightInSets?: readonly Float64Array[];
  /** Balance without weights. */
  before: ArmBalance | null;
  /** Balance under weights. */
  after: ArmBalance | null;
  /** The surgeon of each patient, where the plan takes patients of one surgeon as alike. */
  surgeon: string[] | null;
  /** What a reader must know beside the numbers, in sentences. */
  notes: string[];
  /** Why no number is shown, one reason a phrase; empty where numbers are. */
  shortOf: string[];
}

/**
 * Scores the arms of a comparison by multinomial logistic regression, weighs them to its estimand,
 * moves the weights until the means of the covariates are equal (see {@link equalMeans}; where they
 * cannot be, the weights stay), and judges by the plan's `enough` whether they are alike
 * and many enough.
 *
 * @throws {DataError} if a rule or covariate needs a column that the file does not have.
 */
export function armDesign(whole: Analysis, comparison: PlannedComparison): ArmDesign {
  const { study } = whole;
  const counts = armRows(whole, comparison);
  const reason = `in no arm of: ${comparison.label}`;
  const analysis = patientsAmong(whole, counts.rows, { id: "arms", reason }, { listed: false });
  keepAnswersAmong(analysis, whole, counts.rows);
  const bare = {
    comparison,
    counts,
    analysis,
    scores: null,
    weight: null,
    before: null,
    after: null,
    surgeon: null,
    notes: [],
  };
  const few = comparison.arms.filter(({ id }) => counts.arm.filter((arm) => arm === id).length < 2);
  if (few.length > 0) {
    const shortOf = few.map(({ label }) => `hardly anybody in the arm "${label}"`);
    return { ...bare, shortOf };
  }
  const adjustment = comparison.covariates
    ? { covariates: comparison.covariates, interactions: [] }
    : study.adjustment;
  const known = comparison.surgeon !== "none" && hasColumn(analysis, "surgeon");
  const bySurgeon = known && comparison.surgeon === "score" &&
    !adjustment.covariates.some(({ column }) => column === "surgeon");
  const covariates = bySurgeon
    ? [
      ...adjustment.covariates,
      { column: "surgeon", form: "category" as const, missing: "indicator" as const },
    ]
    : adjustment.covariates;
  const plan = { ...study, adjustment: { ...adjustment, covariates } };
  const sets = completedAnalyses(analysis).map((set) => {
    const design = designMatrix(set, plan);
    const data = { arm: counts.arm, covariates: design.covariates };
    const scores = armScores(data);
    return { data, scores, weight: weightsOf(data, scores, comparison), notes: design.notes };
  });
  const apart = comparison.arms.filter(({ id }) =>
    sets.some(({ weight }) => !counts.arm.some((arm, row) => arm === id && weight[row]! > 0))
  );
  if (apart.length > 0) {
    const shortOf = apart.map(({ label }) =>
      `nobody in the arm "${label}" could have been in every other`
    );
    return { ...bare, shortOf };
  }
  const [first] = sets as [(typeof sets)[number]];
  const after = meanBalance(sets.map(({ data, weight }) => armBalance({ ...data, weight })));
  return {
    ...bare,
    scores: first.scores,
    weight: meanOver(sets.map((set) => set.weight)),
    ...(sets.length > 1 && { weightInSets: sets.map((set) => set.weight) }),
    before: meanBalance(sets.map(({ data }) => armBalance(data))),
    after,
    surgeon: known ? textColumn(analysis, "surgeon") : null,
    notes: first.notes,
    shortOf: shortfall(after, comparison, study.enough),
  };
}

/** Weights of the chances, moved until the means are equal where that can be done. */
function weightsOf(
  data: { arm: string[]; covariates: Record<string, Float64Array> },
  scores: ArmScores,
  { estimand }: PlannedComparison,
): Float64Array {
  const weight = armWeights({ arm: data.arm, scores }, { estimand });
  // rows that could have been in one arm only have no weight, and stay without
  const places = Array.from(weight.keys()).filter((row) => weight[row]! > 0);
  const placeOf = new Map(scores.arms.map((arm, place) => [arm, place]));
  const own = (row: number) => scores.score[placeOf.get(data.arm[row]!)!]![row]!;
  const kept = <Column extends ArrayLike<number>>(column: Column) =>
    Float64Array.from(places, (row) => column[row]!);
  const { weight: moved } = equalMeans({
    arm: places.map((row) => data.arm[row]!),
    covariates: Object.fromEntries(
      Object.entries(data.covariates).map(([name, column]) => [name, kept(column)]),
    ),
    weight: kept(weight),
    share: Float64Array.from(places, (row) => weight[row]! * own(row)),
  });
  places.forEach((row, k) => weight[row] = moved[k]!);
  return weight;
}

/** Sizes and differences as means over the completed sets; all else as in the first. */
function meanBalance(sets: readonly ArmBalance[]): ArmBalance {
  const [first] = sets as readonly [ArmBalance];
  return {
    arms: first.arms.map((arm, place) => ({
      ...arm,
      weight: meanOf(sets.map(({ arms }) => arms[place]!.weight)),
      effective: meanOf(sets.map(({ arms }) => arms[place]!.effective)),
    })),
    rows: first.rows.map((row) => {
      const each = sets.flatMap(({ rows }) =>
        rows.find(({ covariate }) => covariate === row.covariate) ?? []
      );
      return {
        ...row,
        largest: meanOf(each.map(({ largest }) => largest)),
        largestOfAll: meanOf(each.map(({ largestOfAll }) => largestOfAll)),
      };
    }),
  };
}

function shortfall(
  after: ArmBalance,
  comparison: PlannedComparison,
  { effectiveNumber, difference }: Analysis["study"]["enough"],
): string[] {
  const labels = new Map(comparison.arms.map(({ id, label }) => [id, label]));
  const few = after.arms.filter(({ effective }) => effective < effectiveNumber.value).map((
    { arm },
  ) =>
    `fewer than ${effectiveNumber.value} patients' worth of information in the arm ` +
    `"${labels.get(String(arm))}"`
  );
  const unlike = after.rows.some(({ largestOfAll }) => largestOfAll > difference.value)
    ? [`the arms stay unlike (a standardised difference above ${difference.value})`]
    : [];
  return [...few, ...unlike];
}
