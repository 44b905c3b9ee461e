import { designMatrix } from "../../balance/score/mod.ts";
import { measurementWeights } from "../../balance/weigh/mod.ts";
import type { VentricleAfter } from "../../cohort/follow-up/mod.ts";
import { type Analysis, numericColumn } from "../../cohort/model/mod.ts";
import type { Study } from "../../study/file/mod.ts";

/** Below this the ventricle is said to be impaired after operation (ACC/AHA 2020). */
const impaired = 50;

/** With fewer of either kind there is no model worth reading (common practice, no source). */
const fewest = 30;

/** Patients whose ventricle was measured after operation, ready for a model of its risk. */
export interface MeasuredVentricles {
  /** Their rows of the analysis. */
  rows: Int32Array;
  /** 1 where ejection fraction was below 50% afterwards. */
  outcome: Float64Array;
  /** Before operation: ejection fraction, %, and end-systolic diameter, mm. */
  lvef: Float64Array;
  /** End-systolic diameter before, mm. */
  lvesd: Float64Array;
  /** The same at the echocardiogram afterwards; NaN where it was not measured. */
  lvefAfter: Float64Array;
  /** End-systolic diameter after, mm. */
  lvesdAfter: Float64Array;
  /** 1 = repair. */
  repair: Float64Array;
  /** Each stands for so many of those alive then, measured or not. */
  weight: Float64Array;
  /** What the weights leave of the measured patients' information, as a share. */
  effective: number;
  /** Whether there are enough of either kind for a model. */
  enough: boolean;
}

/**
 * Those with an echocardiogram before and about a year after operation, weighted to stand for all
 * who were alive then: by the inverse of the chance of an echocardiogram, given everything
 * in the plan.
 *
 * @example
 * ```ts
 * import { measuredVentricles, openAnalysis, ventricleAfter } from "mitral";
 * const { analysis, study } = await openAnalysis();
 * const ventricles = measuredVentricles(analysis, study, ventricleAfter(analysis));
 * ```
 * Where nobody was measured there are no rows, and not enough for a model.
 *
 * @throws {DataError} as `measurementWeights`.
 */
export function measuredVentricles(
  analysis: Analysis,
  study: Study,
  ventricle: VentricleAfter,
): MeasuredVentricles {
  const none = new Float64Array();
  if (ventricle.rows.length === 0) {
    return {
      rows: new Int32Array(),
      outcome: none,
      lvef: none,
      lvesd: none,
      lvefAfter: none,
      lvesdAfter: none,
      repair: none,
      weight: none,
      effective: 0,
      enough: false,
    };
  }
  const lvesd = numericColumn(analysis, "lvesd");
  const places = [...ventricle.rows.keys()].filter((k) => !Number.isNaN(lvesd[ventricle.rows[k]!]));
  const pick = (value: (k: number) => number) => Float64Array.from(places, value);
  const outcome = pick((k) => ventricle.after[k]! < impaired ? 1 : 0);
  const alive = [...ventricle.rows, ...ventricle.notMeasuredRows];
  const { covariates } = designMatrix(analysis, study);
  const scanned = measurementWeights({
    measured: alive.map((_, k) => k < ventricle.rows.length ? 1 : 0),
    covariates: Object.fromEntries(
      Object.entries(covariates).map(([name, column]) => [name, alive.map((row) => column[row]!)]),
    ),
  });
  const low = outcome.reduce((sum, one) => sum + one, 0);
  return {
    rows: Int32Array.from(places, (k) => ventricle.rows[k]!),
    outcome,
    lvefAfter: pick((k) => ventricle.after[k]!),
    lvesdAfter: pick((k) => ventricle.lvesdAfter[k]!),
    lvef: pick((k) => ventricle.before[k]!),
    lvesd: pick((k) => lvesd[ventricle.rows[k]!]!),
    repair: pick((k) => ventricle.treated[k]!),
    weight: pick((k) => scanned.weight[k]!),
    effective: scanned.effective / scanned.measured,
    enough: Math.min(low, outcome.length - low) >= fewest,
  };
}
