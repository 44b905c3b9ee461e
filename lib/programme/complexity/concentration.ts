import {
  binaryColumn,
  checkConfidence,
  checkDataColumns,
  checkNumber,
  checkWhole,
  DataError,
  fewerOfMany,
  numberColumn,
  type Numbers,
  orderOf,
  quantileOfSorted,
} from "../../numerics/mod.ts";
import { resampler } from "../../sensitivity/bootstrap/mod.ts";

/** How unevenly events are spread over patients. */
export interface ConcentrationCurve {
  /** Share of the patients, those of the highest score first. */
  patients: Float64Array;
  /** Share of all events that falls among them, with limits. */
  events: Float64Array;
  /** Lower limits. */
  lower: Float64Array;
  /** Upper limits. */
  upper: Float64Array;
  /** Share of the events among a share of the patients. */
  at(share: number): { estimate: number; lower: number; upper: number };
}

const POINTS = 101;

/**
 * Concentration curve: what share of the events comes from what share of the patients, ranked by a
 * score from high to low ("a fifth of patients account for half of the replacements").
 *
 * Patients of equal score share their events evenly, so no order among them matters. Limits are
 * percentiles over bootstrap samples of patients. Use a score made without the patients' own
 * outcomes (held out), or the curve flatters it. Cost O(n log n) a replicate.
 *
 * @param data.outcome 0 or 1, with at least one event.
 * @param data.score Higher is harder.
 * @param options.replicates 500; of more than 20,000 patients fewer, at least 100.
 * @example
 * ```ts ignore
 * import { concentrationCurve } from "mitral";
 *
 * concentrationCurve({ outcome: replaced, score: heldOutRisk }, { seed: 1 }).at(0.2).estimate;
 * ```
 * @throws {DataError}
 * @see Lorenz (1905) Publ Am Stat Assoc 9:209-219.
 */
export function concentrationCurve(
  data: { outcome: Numbers; score: Numbers },
  options: { seed: number; replicates?: number; confidence?: number },
): ConcentrationCurve {
  checkDataColumns("concentrationCurve", data, ["outcome", "score"]);
  const confidence = checkConfidence(options.confidence);
  const outcome = binaryColumn("outcome", data.outcome);
  const n = outcome.length;
  const replicates = checkWhole("replicates", options.replicates ?? fewerOfMany(500, n, 100), 20);
  const score = numberColumn("score", data.score, { length: n });
  if (!outcome.includes(1)) throw new DataError("outcome", "1 in at least one row", outcome[0], 0);
  const order = orderOf(score.map((value) => -value));
  const patients = Float64Array.from({ length: POINTS }, (_, k) => k / (POINTS - 1));
  const place = new Float64Array(n); // of each row, ties alike
  let tie = 0;
  order.forEach((row, k) => {
    if (k > 0 && score[row] !== score[order[k - 1]!]) tie++;
    place[row] = tie;
  });
  const count = new Float64Array(tie + 1);
  const found = new Float64Array(tie + 1);
  const curveOf = (rows: ArrayLike<number>) => {
    count.fill(0);
    found.fill(0);
    for (let i = 0; i < rows.length; i++) {
      const row = rows[i]!;
      count[place[row]!]!++;
      found[place[row]!]! += outcome[row]!;
    }
    return lorenz(count, found, patients);
  };
  const events = curveOf(Int32Array.from({ length: n }, (_, i) => i));
  const draw = resampler(n, options.seed);
  const drawn: Float64Array[] = [];
  for (let r = 0; r < replicates; r++) {
    const curve = curveOf(draw(r).rows);
    if (!Number.isNaN(curve[0]!)) drawn.push(curve);
  }
  const tail = (1 - confidence) / 2;
  const quantile = (k: number, p: number) =>
    quantileOfSorted(Float64Array.from(drawn, (curve) => curve[k]!).sort(), p);
  const lower = patients.map((_, k) => quantile(k, tail));
  const upper = patients.map((_, k) => quantile(k, 1 - tail));
  return {
    patients,
    events,
    lower,
    upper,
    at(share) {
      checkNumber("share", share, (s) => s >= 0 && s <= 1, "from 0 to 1");
      const k = share * (POINTS - 1);
      const below = Math.min(POINTS - 2, Math.floor(k));
      const between = (values: Float64Array) =>
        values[below]! + (k - below) * (values[below + 1]! - values[below]!);
      return { estimate: between(events), lower: between(lower), upper: between(upper) };
    },
  };
}

/** Share of events at shares of patients, straight within patients of equal score. */
function lorenz(count: Float64Array, found: Float64Array, at: Float64Array): Float64Array {
  const n = count.reduce((sum, value) => sum + value, 0);
  const total = found.reduce((sum, value) => sum + value, 0);
  const result = new Float64Array(at.length);
  let patients = 0;
  let events = 0;
  let k = 0;
  for (let tie = 0; tie < count.length; tie++) {
    const size = count[tie]!;
    if (size === 0) continue;
    while (k < at.length && at[k]! * n <= patients + size + 1e-9 * n) {
      result[k] = (events + found[tie]! * Math.max(0, at[k]! * n - patients) / size) / total;
      k++;
    }
    patients += size;
    events += found[tie]!;
  }
  return result;
}
