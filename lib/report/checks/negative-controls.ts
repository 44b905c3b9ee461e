import { underWeights, type WeightedSample } from "../../balance/samples/mod.ts";
import { type Analysis, hasColumn, numericColumn } from "../../cohort/model/mod.ts";
import type { ComparisonAnswer } from "../../comparisons/mod.ts";
import { contrastsOf } from "../../comparisons/populations/mod.ts";
import { type Interval, quietly } from "../../numerics/mod.ts";
import { type NegativeControl, negativeControl } from "../../sensitivity/bias/mod.ts";

/** One of the plan's negative controls, or why it cannot be looked at. */
export interface ControlAnswer {
  /** As in the study file. */
  id: string;
  /** Which of the two should show nothing. */
  kind: "outcome" | "exposure";
  /** As in the study file. */
  label: string;
  /** Why the operation cannot change it. */
  source: string;
  /** What bias alone makes; null where there is no number. */
  found: NegativeControl | null;
  /** Why there is no number; empty where there is one. */
  why: string;
}

/**
 * The plan's negative controls: an outcome that the operation cannot change, compared under the
 * weights of the main answer, and an exposure that cannot change an outcome, under weights
 * of its own.
 *
 * @param compared The plan's comparisons, for controls of exposure.
 * @example
 * ```ts ignore
 * import { negativeControls, openAnalysis, plannedComparisons, weightedSample } from "mitral";
 *
 * const { analysis, study } = await openAnalysis();
 * const weighting = weightedSample(analysis, study);
 * const compared = plannedComparisons(analysis);
 * negativeControls(analysis, weighting, compared).map(({ found }) => found?.seen);
 * ```
 */
export function negativeControls(
  analysis: Analysis,
  weighting: WeightedSample,
  compared: readonly ComparisonAnswer[],
): ControlAnswer[] {
  const { bias, confidence } = analysis.study;
  return bias.controls.map((control): ControlAnswer => {
    const { id, kind, label, source } = control;
    const bare = { id, kind, label, source, found: null };
    const difference = control.kind === "outcome"
      ? outcomeDifference(analysis, weighting, control.column)
      : exposureDifference(compared, control);
    if (typeof difference === "string") return { ...bare, why: difference };
    return { ...bare, found: negativeControl(difference, undefined, { confidence }), why: "" };
  });
}

function outcomeDifference(
  analysis: Analysis,
  weighting: WeightedSample,
  column: string,
): Interval | string {
  if (!hasColumn(analysis, column)) return "not in the file";
  const { study, treated } = analysis;
  if (study.adjustment.covariates.some((own) => own.column === column)) return "is adjusted for";
  const values = numericColumn(analysis, column);
  const rows = Int32Array.from(values.keys()).filter((row) => !Number.isNaN(values[row]));
  const groups = new Set(Array.from(rows, (row) => treated[row]));
  if (groups.size < 2) return "recorded in one group only";
  // known from the start: an incidence by a time before anybody is censored
  const data = underWeights({
    rows,
    time: Float64Array.from(rows, (row) => values[row]! > 0 ? 0.5 : 1),
    event: Int32Array.from(rows, (row) => values[row]! > 0 ? 1 : 0),
    treated: Uint8Array.from(rows, (row) => treated[row]!),
  }, weighting);
  const [contrast] = quietly(() =>
    contrastsOf("control", data, { times: [0.75], confidence: study.confidence })
  );
  if (!contrast || contrast.fewEvents) return "too few events for a number";
  return contrast.difference;
}

function exposureDifference(
  compared: readonly ComparisonAnswer[],
  { comparison, endpoint }: { comparison: string; endpoint: string },
): Interval | string {
  const answer = compared.find((one) => one.comparison.id === comparison);
  if (!answer) return "the plan has no such comparison";
  if (!answer.answers) return answer.why;
  const found = answer.answers.endpoints.find((one) => one.endpoint === endpoint);
  const [contrast] = found?.contrasts ?? [];
  return contrast?.difference ?? found?.why ?? "the plan has no such endpoint";
}
