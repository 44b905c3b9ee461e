import { type FollowUpColumns, valuesAt } from "../../numerics/mod.ts";
import { coxRegression, coxResiduals } from "../cox/mod.ts";

/**
 * A Cox model fitted in some rows, ready to speak of all: the hazard of row i at event time u is
 * increment[u] * risk[i].
 *
 * Risks are relative to the mean covariates of the rows fitted, so that increments are of ordinary
 * size.
 */
export interface ConditionalHazard {
  /** Distinct times with an event in the rows fitted, ascending (m of them). */
  time: Float64Array;
  /** Breslow's increments of the cumulative hazard at those times. */
  increment: Float64Array;
  /** Sum of risks of the rows at risk at those times. */
  total: Float64Array;
  /** Mean covariates of the rows at risk, weighted by their risk, m x p. */
  mean: Float64Array;
  /** exp(linear predictor) of every row of the data. */
  risk: Float64Array;
  /** Covariates in the model, centred, one value a row of the data. */
  columns: Float64Array[];
  /** How far each row fitted moves each coefficient; by covariate, then by place in `rows`. */
  moves: Float64Array[];
  /** Rows it was fitted in. */
  rows: Int32Array;
  /** Why the estimates are not to be trusted, if so. */
  reason: string | undefined;
}

/**
 * Fits the hazard of the event, or of censoring, in the rows given; Breslow's ties.
 *
 * At one time events precede censorings, so whoever has the event at a time is no longer at risk of
 * being censored there. (The coefficients of a censoring model take them as at risk, which matters
 * for ties only.) Without an event there is no hazard, without covariates no model is needed.
 */
export function conditionalHazard(
  { time, event, order }: FollowUpColumns,
  options: { of: "event" | "censoring"; rows: Int32Array; covariates: Map<string, Float64Array> },
): ConditionalHazard {
  const { of, rows } = options;
  const n = time.length;
  const counts = of === "event" ? 1 : 0;
  const chosen = new Uint8Array(n);
  for (const row of rows) chosen[row] = 1;
  const ascending = order.filter((row) => chosen[row] === 1);
  const happens = ascending.filter((row) => event[row] === counts).length;
  const risk = new Float64Array(n).fill(1);
  const columns: Float64Array[] = [];
  let moves: Float64Array[] = [];
  let reason: string | undefined;
  if (happens > 0 && options.covariates.size > 0) {
    const pick = (column: ArrayLike<number>) => valuesAt(column, rows);
    const fit = coxRegression({
      time: pick(time),
      event: pick(event).map((code) => code === counts ? 1 : 0),
      covariates: Object.fromEntries([...options.covariates].map(([name, x]) => [name, pick(x)])),
    }, { ties: "breslow" });
    reason = fit.reason;
    const predictor = new Float64Array(n);
    for (const { name, coefficient } of fit.terms) {
      if (fit.dropped.includes(name)) continue;
      const centre = fit.means[name]!;
      const column = options.covariates.get(name)!.map((x) => x - centre);
      columns.push(column);
      for (let i = 0; i < n; i++) predictor[i]! += coefficient * column[i]!;
    }
    for (let i = 0; i < n; i++) risk[i] = Math.exp(predictor[i]!);
    if (columns.length > 0) moves = Object.values(coxResiduals(fit, "dfbeta").columns);
  }
  return {
    ...baseline({ time, event, ascending, counts, risk, columns }),
    risk,
    columns,
    moves,
    rows,
    reason,
  };
}

function baseline(given: {
  time: Float64Array;
  event: Int32Array;
  ascending: Uint32Array;
  counts: 0 | 1;
  risk: Float64Array;
  columns: Float64Array[];
}) {
  const { time, event, ascending, counts, risk, columns } = given;
  const p = columns.length;
  const times: number[] = [];
  const increments: number[] = [];
  const totals: number[] = [];
  const means: Float64Array[] = [];
  const sums = new Float64Array(p);
  let total = 0;
  const join = (row: number) => {
    total += risk[row]!;
    for (let j = 0; j < p; j++) sums[j]! += risk[row]! * columns[j]![row]!;
  };
  for (let last = ascending.length - 1; last >= 0;) {
    const t = time[ascending[last]!]!;
    let first = last;
    while (first > 0 && time[ascending[first - 1]!] === t) first--;
    let events = 0;
    for (let k = first; k <= last; k++) {
      const row = ascending[k]!;
      if (event[row] === counts) events++;
      if (counts === 1 || event[row] === counts) join(row);
    }
    if (events > 0) {
      times.push(t);
      increments.push(events / total);
      totals.push(total);
      means.push(sums.map((sum) => sum / total));
    }
    if (counts === 0) {
      for (let k = first; k <= last; k++) if (event[ascending[k]!] !== 0) join(ascending[k]!);
    }
    last = first - 1;
  }
  const mean = new Float64Array(times.length * p);
  means.reverse().forEach((row, u) => mean.set(row, u * p));
  return {
    time: Float64Array.from(times.reverse()),
    increment: Float64Array.from(increments.reverse()),
    total: Float64Array.from(totals.reverse()),
    mean,
  };
}
