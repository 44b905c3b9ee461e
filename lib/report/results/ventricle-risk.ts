import type { EffectCurve } from "../../figures/drawing/mod.ts";
import { correlationOf, quantileOfSorted, quartilesOf, valuesAt } from "../../numerics/mod.ts";
import { jointTest } from "../../regression/models/mod.ts";
import {
  calibration,
  type CalibrationGroup,
  rocCurve,
  type SmoothRisk,
  smoothRisk,
} from "../../regression/prediction/mod.ts";
import { heldOut, optimismOfEach } from "../../sensitivity/bootstrap/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import { formatNumber, formatP } from "../../words/mod.ts";
import type { MeasuredVentricles } from "./impaired-ventricle.ts";

/** A diameter's curve is drawn where this near to it, mm, there were patients. */
const near = 4;

/** How the risk of an impaired ventricle follows what was measured before. */
export interface VentricleRisk {
  /** The model behind it. */
  model: SmoothRisk;
  /** One for each diameter, after repair, over the ejection fractions of patients near it. */
  curves: (EffectCurve & { diameter: number })[];
  /** Does the diameter add to the ejection fraction? Joint test of its terms. */
  diameterAdds: { pValue: number };
  /** Of ejection fraction and diameter. */
  correlation: number;
}

/**
 * Risk of an impaired ventricle after repair as a smooth function of ejection fraction and
 * diameter, with limits: at the lower and the upper quartile of the diameter, each from the fifth
 * to the ninety-fifth percentile of the ejection fractions near it, so that no curve extends beyond
 * patients who were there.
 *
 * @returns undefined where there are too few of either kind, or the model does not converge.
 * @example
 * ```ts ignore
 * import { ventricleRisk } from "mitral";
 * ventricleRisk(ventricles)?.curves.map(({ diameter }) => diameter);
 * ```
 */
export function ventricleRisk(
  data: MeasuredVentricles,
  options: { confidence?: number } = {},
): VentricleRisk | undefined {
  if (!data.enough) return undefined;
  const model = modelOf(data, everyRow(data), options);
  if (!model.fit.converged) return undefined;
  const { lower, upper } = quartilesOf(data.lvesd);
  const diameters = new Set([lower, upper].map(Math.round));
  return {
    model,
    curves: [...diameters].map((diameter, k) => {
      const those = data.lvef.filter((_, i) => Math.abs(data.lvesd[i]! - diameter) <= near).sort();
      const from = Math.ceil(quantileOfSorted(those, 0.05));
      const to = Math.floor(quantileOfSorted(those, 0.95));
      const x = Float64Array.from({ length: to - from + 1 }, (_, i) => from + i);
      const lvesd = x.map(() => diameter);
      const { estimate, lower, upper } = model.limitsAt({ lvef: x, lvesd, repair: x.map(() => 1) });
      const role = k === 0 ? "third" as const : "fourth" as const;
      return { label: `${diameter} mm`, diameter, role, x, estimate, lower, upper };
    }),
    diameterAdds: jointTest(model.fit, termsOf(model, "lvesd")),
    correlation: correlationOf(data.lvef, data.lvesd),
  };
}

/** One measure of the model on the patients it was made from, and with its optimism taken away. */
export interface CorrectedMeasure {
  /** What is measured. */
  measure: string;
  /** In the patients that the model was made from. */
  apparent: number;
  /** Less the optimism found by resampling. */
  corrected: number;
}

/**
 * How well the model tells patients apart and how steep its predictions are, as it looks and
 * corrected for its own optimism by making it anew in bootstrap samples.
 */
export function ventricleModelMeasures(
  data: MeasuredVentricles,
  { seed, replicates }: { seed: number; replicates: number },
): CorrectedMeasure[] {
  const make = (rows: Int32Array) => modelOf(data, rows);
  const measure = (made: SmoothRisk, rows: Int32Array) => {
    const outcome = valuesAt(data.outcome, rows);
    const score = predicted(made, data, rows);
    return {
      "c-statistic": rocCurve({ outcome, score }).area.estimate,
      Slope: calibration({ outcome, predicted: score }).slope.estimate,
    };
  };
  const found = optimismOfEach(data.outcome.length, { make, measure }, { seed, replicates });
  return Object.entries(found).map(([measure, { apparent, corrected }]) => ({
    measure,
    apparent,
    corrected,
  }));
}

/** Each patient's risk as predicted by a model made without it, in tenths of the patients. */
export function ventriclePredictions(
  data: MeasuredVentricles,
  { seed }: { seed: number },
): Float64Array {
  return heldOut(
    data.outcome.length,
    (from, rows) => predicted(modelOf(data, from), data, rows),
    { seed },
  );
}

/**
 * Predicted and observed risk in fifths of the patients, each predicted by a model made without it.
 */
export function ventricleCalibration(
  data: MeasuredVentricles,
  { seed, confidence }: { seed: number; confidence?: number },
): CalibrationGroup[] {
  const predictions = ventriclePredictions(data, { seed });
  return calibration({ outcome: data.outcome, predicted: predictions }, { groups: 5, confidence })
    .groups;
}

function modelOf(
  data: MeasuredVentricles,
  rows: Int32Array,
  options: { confidence?: number } = {},
): SmoothRisk {
  return smoothRisk({
    outcome: valuesAt(data.outcome, rows),
    measurements: { lvef: valuesAt(data.lvef, rows), lvesd: valuesAt(data.lvesd, rows) },
    linear: { repair: valuesAt(data.repair, rows) },
    weight: valuesAt(data.weight, rows),
  }, options);
}

function predicted(made: SmoothRisk, data: MeasuredVentricles, rows: Int32Array): Float64Array {
  return made.riskAt({
    lvef: valuesAt(data.lvef, rows),
    lvesd: valuesAt(data.lvesd, rows),
    repair: valuesAt(data.repair, rows),
  }).map((risk) => Math.min(1 - 1e-9, Math.max(1e-9, risk)));
}

function everyRow({ outcome }: MeasuredVentricles): Int32Array {
  return Int32Array.from(outcome, (_, row) => row);
}

function termsOf({ fit }: SmoothRisk, measurement: string): string[] {
  return fit.terms.map(({ name }) => name).filter((name) =>
    name === measurement || name.startsWith(`${measurement}'`)
  );
}

/**
 * Whether the diameter tells anything that ejection fraction does not, in one sentence: why the
 * curve of a larger ventricle may lie lower than that of a smaller one.
 */
export function diameterSentence({ curves, diameterAdds, correlation }: VentricleRisk): string {
  const sizes = curves.map(({ diameter }) => `${diameter} mm`).join(" and ");
  const together = `the two go together (correlation ${formatNumber(correlation, { digits: 2 })})`;
  return diameterAdds.pValue < 0.05
    ? `At the same ejection fraction, the curves at ${sizes} differ by more than chance ` +
      `(${
        formatP(diameterAdds.pValue)
      }); since ${together}, their order is that of this model and ` +
      "does not say that a larger ventricle is safer."
    : `At the same ejection fraction, diameter adds nothing that these patients can show ` +
      `(${
        formatP(diameterAdds.pValue)
      }), because ${together}: which of the curves at ${sizes} lies ` +
      "lower is within chance.";
}

/** The plan's warning marks on one measurement, to stand in a figure. */
export function plannedMarks(
  { thresholds }: Pick<Study, "thresholds">,
  column: string,
): { at: number; label: string }[] {
  return thresholds.filter((threshold) => threshold.column === column)
    .map(({ value }) => ({ at: value, label: `${value}, planned` }));
}
