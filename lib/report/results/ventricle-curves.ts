import { designMatrix } from "../../balance/score/mod.ts";
import type { Analysis } from "../../cohort/model/mod.ts";
import { decisionFigure, type Figure } from "../../figures/mod.ts";
import type { EffectCurve } from "../../figures/drawing/mod.ts";
import { quantileOfSorted } from "../../numerics/mod.ts";
import { decisionCurve, smoothMean } from "../../regression/prediction/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import { type Remark, say, type TableInput } from "../show/mod.ts";
import type { MeasuredVentricles } from "./impaired-ventricle.ts";
import { marksOf } from "./told-apart.ts";
import { ventriclePredictions } from "./ventricle-risk.ts";

/** Change is modelled with this many at least (common practice, no source). */
const fewest = 100;

/** Mean change of a measurement after repair, over what it was before. */
export interface MeanChange {
  /** Patients. */
  n: number;
  /** Difference over the measurement, with limits. */
  curve: EffectCurve & { lower: Float64Array; upper: Float64Array };
}

/**
 * How far ejection fraction (or end-systolic diameter) changed about a year after repair, by what
 * it was before: a linear model with a spline of the measurement, the operation and the plan's
 * other covariates, robust errors, and weights for having been scanned. The other covariates are
 * held at their means; the curve goes from the fifth to the ninety-fifth percentile
 * of the measurement.
 *
 * @returns undefined with too few patients, or where the measurement hardly varies.
 * @example
 * ```ts ignore
 * import { meanChange, openAnalysis } from "mitral";
 * const { analysis, study } = await openAnalysis();
 * meanChange(ventricles, analysis, study, "lvef")?.curve.estimate;
 * ```
 */
export function meanChange(
  data: MeasuredVentricles,
  analysis: Analysis,
  study: Study,
  measurement: "lvef" | "lvesd",
): MeanChange | undefined {
  const after = measurement === "lvef" ? data.lvefAfter : data.lvesdAfter;
  const rows = [...after.keys()].filter((k) => !Number.isNaN(after[k]!));
  const pick = (column: ArrayLike<number>) => Float64Array.from(rows, (k) => column[k]!);
  const before = pick(data[measurement]);
  const sorted = before.toSorted();
  const at = (share: number) => Math.round(quantileOfSorted(sorted, share));
  if (rows.length < fewest || new Set(before).size < 10 || at(0.05) >= at(0.95)) return undefined;
  const { covariates, columns } = designMatrix(analysis, study);
  const linear: Record<string, Float64Array> = { repair: pick(data.repair) };
  for (const [name, column] of Object.entries(covariates)) {
    if (columns[name] === measurement) continue;
    const own = Float64Array.from(rows, (k) => column[data.rows[k]!]!);
    const mean = own.reduce((sum, value) => sum + value, 0) / own.length;
    linear[name] = own.map((value) => value - mean);
  }
  const model = smoothMean({
    outcome: pick(after).map((value, k) => value - before[k]!),
    measurements: { before },
    linear,
    weight: pick(data.weight),
  }, { confidence: study.confidence });
  const x = Float64Array.from({ length: at(0.95) - at(0.05) + 1 }, (_, k) => at(0.05) + k);
  const alike = Object.fromEntries(
    Object.keys(linear).map((name) => [name, x.map(() => name === "repair" ? 1 : 0)]),
  );
  const { estimate, lower, upper } = model.meanAt({ before: x, ...alike });
  return { n: rows.length, curve: { label: "After repair", x, estimate, lower, upper } };
}

/**
 * What acting on the plan's warning marks would be worth beside acting on a model's risk, on all or
 * on none: a decision curve, each patient's risk predicted by a model made without it.
 */
export function marksDecision(
  heading: Pick<TableInput, "id" | "title" | "caption">,
  data: MeasuredVentricles,
  analysis: Analysis,
  study: Study,
): Figure | Remark {
  if (!data.enough) {
    return say("Too few impaired ventricles, or too few others, for a decision curve.");
  }
  const { marks, count } = marksOf(data, analysis, study);
  const thresholds = Float64Array.from({ length: 23 }, (_, k) => 0.04 + 0.02 * k);
  const marked = (least: number) => count.map((number) => Number(number >= least));
  const { lines, all } = decisionCurve({
    outcome: data.outcome,
    rules: {
      "Model": { risk: ventriclePredictions(data, study) },
      ...(marks > 0 && { "Any mark": { marked: marked(1) } }),
      ...(marks > 1 && { "All marks": { marked: marked(marks) } }),
    },
    weight: data.weight,
  }, { thresholds, confidence: study.confidence });
  return decisionFigure({
    ...heading,
    thresholds,
    all,
    rules: lines.map(({ rule, benefit }) => ({ label: rule, benefit })),
    xLabel: "Risk at which one would act, %",
  });
}
