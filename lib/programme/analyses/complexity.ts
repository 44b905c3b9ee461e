import { fewerOfMany, valuesAt } from "../../numerics/mod.ts";
import { type Calibration, calibration, rocCurve } from "../../regression/prediction/mod.ts";
import { heldOut, type Optimism, optimismOfEach } from "../../sensitivity/bootstrap/mod.ts";
import {
  type ComplexityScore,
  complexityScore,
  type ConcentrationCurve,
  concentrationCurve,
} from "../complexity/mod.ts";
import { difficultiesOf, type ProgrammeOperations } from "../operations/mod.ts";
import type { Withheld } from "./withheld.ts";

/** What makes an operation end without a repair, and how far that can be foretold. */
export interface ProgrammeComplexity {
  /** Points for each item. */
  score: ComplexityScore;
  /** 1 where the patient left without a repair. */
  replaced: Float64Array;
  /**
   * Area under the curve of the points, and slope and intercept of the calibration of the risks
   * they stand for, corrected for having been made from these patients.
   */
  quality: Record<"area" | "slope" | "intercept", Optimism>;
  /** Risks predicted by scores made without the patient. */
  predicted: Float64Array;
  /** Of risks predicted for patients the score was not made from. */
  calibration: Calibration;
  /** How events gather in the complex. */
  concentration: ConcentrationCurve;
}

// Fewer of either kind say too little about a dozen items (common practice, no source).
const fewest = 30;

/**
 * The complexity score of the programme's own operations, judged on patients it was not made from.
 */
export function programmeComplexity(
  operations: ProgrammeOperations,
  options: { replicates?: number } = {},
): ProgrammeComplexity | Withheld {
  const { study } = operations.analysis;
  const { seed, confidence } = study;
  const replaced = Float64Array.from(operations.repaired, (value) => 1 - value);
  const events = replaced.reduce((sum, value) => sum + value, 0);
  if (Math.min(events, operations.n - events) < fewest) {
    return { why: `Fewer than ${fewest} valves repaired, or replaced: too few for a score.` };
  }
  const items = Object.fromEntries(
    difficultiesOf(operations.analysis).map(({ label, holds }) => [label, holds]),
  );
  if (Object.keys(items).length === 0) {
    return { why: "Nothing known beforehand tells cases apart." };
  }
  const make = (rows: ArrayLike<number>) =>
    complexityScore({ outcome: valuesAt(replaced, rows), items: of(items, rows) }, { confidence });
  const score = make(Int32Array.from({ length: operations.n }, (_, row) => row));
  if (score.items.every(({ points }) => points === 0)) {
    return { why: "Nothing known beforehand tells repaired valves from others." };
  }
  const measure = (score: ComplexityScore, rows: ArrayLike<number>) => {
    const outcome = valuesAt(replaced, rows);
    const points = score.pointsOf(of(items, rows));
    const predicted = score.riskOf(points);
    const area = rocCurve({ outcome, score: points }).area.estimate;
    // a replicate's score may find nothing to tell patients apart by
    if (predicted.every((risk) => risk === predicted[0])) {
      return { area, slope: NaN, intercept: NaN };
    }
    const { slope, intercept } = calibration({ outcome, predicted }, { groups: 1 });
    return { area, slope: slope.estimate, intercept: intercept.estimate };
  };
  const predicted = heldOut(operations.n, (made, left) => {
    const score = make(made);
    return score.riskOf(score.pointsOf(of(items, left)));
  }, { seed });
  return {
    score,
    replaced,
    predicted,
    quality: optimismOfEach(operations.n, { make, measure }, {
      seed,
      replicates: options.replicates ?? fewerOfMany(50, operations.n, 4),
    }),
    calibration: calibration({ outcome: replaced, predicted }, { groups: 5, confidence }),
    concentration: concentrationCurve({ outcome: replaced, score: predicted }, {
      seed,
      confidence,
    }),
  };
}

function of(items: Record<string, Float64Array>, rows: ArrayLike<number>) {
  return Object.fromEntries(
    Object.entries(items).map(([name, column]) => [name, valuesAt(column, rows)]),
  );
}
