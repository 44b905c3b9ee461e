import {
  binaryColumn,
  checkDataColumns,
  checkLength,
  covariateColumns,
  DataError,
  type Labels,
  numberColumn,
  type Numbers,
} from "../../numerics/mod.ts";
import { type CoxFit, coxRegression } from "../../survival/cox/mod.ts";

/** Time in which visits could be made, a row from one visit to the next. */
export interface VisitIntensityData {
  /** Whose row it is. */
  subject: Labels;
  /** Under observation on (entry, time]. */
  entry: Numbers;
  /** Times, in one unit. */
  time: Numbers;
  /** 1 where the row ends with a visit, 0 where observation ends or a covariate changes. */
  visit: Numbers;
  /**
   * What was known at `entry` and may bring a visit forward: the last grade seen, symptoms, group.
   */
  covariates: Record<string, Numbers>;
}

/** See {@link visitWeights}. */
export interface VisitWeights {
  /** Rate of visits, hazard ratios as rate ratios, robust to a subject's many visits. */
  model: CoxFit;
  /** The rows that end with a visit, ascending. */
  rows: Int32Array;
  /** Weight of each of these, mean 1. */
  weight: Float64Array;
  /** (sum w)^2 / sum w^2: the visits' information left after weighting, in visits. */
  effective: number;
  /** Largest weight. */
  largest: number;
  /** Whether the search for the estimate came to its end. */
  converged: boolean;
  /** Why not, when `converged` is false. */
  reason?: string;
}

/**
 * Inverse-intensity weights of visits, for patients looked at sooner when something was wrong.
 *
 * Visits as a recurrent event with rate lambda0(t) exp(g'Z(t)) (Andersen-Gill; Z the covariates as
 * known before the visit), fitted by partial likelihood with variance robust within subjects. A
 * visit then counts
 *
 *     w = exp(h'X) / exp(g'Z),
 *
 * which undoes the rate's dependence on Z; lambda0 cancels in a model that leaves time free.
 * Stabilised by the covariates named in `stabiliseBy`, X, with h from a rate model of their own:
 * name only what the outcome model holds fixed (the group). Weights are scaled to mean 1.
 *
 * Recovers what visits at random would have shown only if visits depend on the present grade
 * through Z alone: symptoms that were not recorded, but brought the patient in, remain a bias.
 *
 * Cost: two Cox fits.
 *
 * @example
 * ```ts
 * import { visitWeights } from "mitral";
 * const subject = [1, 1, 2, 2, 3, 3];
 * const entry = [0, 1, 0, 2, 0, 1.5];
 * const time = [1, 3, 2, 4, 1.5, 5];
 * const visit = [1, 0, 1, 1, 1, 0];
 * const lastGrade = [0, 1, 2, 2, 1, 1];
 * const { rows, weight } = visitWeights({ subject, entry, time, visit, covariates: { lastGrade } });
 * ```
 * @throws {DataError} on a value out of range, a subject's rows that overlap, an unknown name in
 * `stabiliseBy`, or no visit.
 * @see Lin, Scharfstein & Rosenheck (2004) JRSS B 66:791-813. Buzkova & Lumley (2007) Can J Stat
 * 35:485-500. Andersen & Gill (1982) Ann Stat 10:1100-1120.
 */
export function visitWeights(
  data: VisitIntensityData,
  options: { stabiliseBy?: readonly string[]; confidence?: number } = {},
): VisitWeights {
  checkDataColumns("visitWeights", data, ["subject", "entry", "time", "visit", "covariates"]);
  const time = numberColumn("time", data.time, { min: 0 });
  const n = time.length;
  const entry = numberColumn("entry", data.entry, { length: n, min: 0 });
  const visit = binaryColumn("visit", data.visit, n);
  checkLength("subject", data.subject, n);
  covariateColumns(data.covariates, n);
  checkNoOverlap(data.subject, entry, time);
  if (!visit.includes(1)) {
    throw new DataError("visit", "1 in at least one row: an examination after operation", "0 only");
  }
  const fitOf = (names: readonly string[]) =>
    coxRegression({
      entry,
      time,
      event: visit,
      cluster: data.subject,
      covariates: Object.fromEntries(names.map((name) => {
        const column = data.covariates[name];
        if (!column) throw new DataError("stabiliseBy", "names of covariates", name);
        return [name, column];
      })),
    }, { confidence: options.confidence, ties: "breslow" });
  const { stabiliseBy = [] } = options;
  const model = fitOf(Object.keys(data.covariates));
  const numerator = stabiliseBy.length > 0 ? fitOf(stabiliseBy) : undefined;
  const rows = Int32Array.from(
    Array.from({ length: n }, (_, i) => i).filter((i) => visit[i] === 1),
  );
  const weight = Float64Array.from(
    rows,
    (i) => Math.exp((numerator ? numerator.linearPredictor[i]! : 0) - model.linearPredictor[i]!),
  );
  let sum = 0;
  for (const w of weight) sum += w;
  let squares = 0;
  let largest = 0;
  for (let k = 0; k < weight.length; k++) {
    weight[k]! *= weight.length / sum;
    squares += weight[k]! ** 2;
    largest = Math.max(largest, weight[k]!);
  }
  const failed = [model, numerator].find((fit) => fit && !fit.converged);
  return {
    model,
    rows,
    weight,
    effective: weight.length ** 2 / squares,
    largest,
    converged: failed === undefined,
    ...(failed && { reason: failed.reason ?? "the rate model did not converge" }),
  };
}

/** @throws {DataError} where a subject is under observation twice at once. */
function checkNoOverlap(subject: Labels, entry: Float64Array, time: Float64Array): void {
  const order = Array.from({ length: time.length }, (_, i) => i).sort((a, b) =>
    entry[a]! - entry[b]!
  );
  const until = new Map<string | number, number>();
  for (const i of order) {
    const last = until.get(subject[i]!) ?? -Infinity;
    if (entry[i]! < last) {
      throw new DataError(
        "entry",
        `at or after the subject's last row's time ${last}`,
        entry[i],
        i,
      );
    }
    until.set(subject[i]!, time[i]!);
  }
}
