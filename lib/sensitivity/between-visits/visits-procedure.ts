import { filterRows, MANY } from "../../numerics/mod.ts";
import type { Estimand } from "../../balance/weigh/mod.ts";
import { reweightColumns } from "../../balance/samples/mod.ts";
import { meanOver } from "../../balance/score/mod.ts";
import { type BracketedRecurrence, reweightedIncidence } from "../../competing/visits/mod.ts";
import type { VectorStatistic } from "../bootstrap/mod.ts";

/** Weigh, and estimate recurrence between visits, as plain columns that can be sent to a worker. */
export interface VisitsProcedure {
  /** One value a patient. */
  treated: Uint8Array;
  /**
   * Columns of the propensity model, one set of them for each completed set; one alone otherwise.
   */
  covariates: readonly Record<string, Float64Array>[];
  weights: { estimand: Estimand; stabilized?: boolean; truncate?: [low: number, high: number] };
  /** Those at risk of recurrence; `rows` are places among the patients. */
  looked: Pick<BracketedRecurrence, "rows" | "lastClear" | "found" | "time" | "death">;
  times: readonly number[];
}

/**
 * The whole procedure as a function of drawn patients: fit the propensity model, weigh, and
 * estimate when recurrence began in each group. Values: the incidence at each time in the treated,
 * then in the others, then treated minus others. NaN past the last visit of a group.
 *
 * Each search starts from the course of the patients themselves, so that a draw takes few steps.
 *
 * @throws {DataError} if a draw has only one of the groups.
 */
export function visitsStatistic(procedure: VisitsProcedure): VectorStatistic {
  const { treated, covariates, weights, looked, times } = procedure;
  const n = treated.length;
  // of many patients a draw's model is sought from that of all: several times as fast; of fewer
  // the last digits of weights send the search for a course on other paths to within its tolerance
  const inSets = covariates.map((own) =>
    reweightColumns({ treated, covariates: own }, weights, { alone: n <= MANY })
  );
  const everybody = Int32Array.from({ length: n }, (_, i) => i);
  // of the patients themselves the mean weights; each draw takes one completed set, in turn
  const weigh = (drawn: Int32Array, replicate?: number) =>
    replicate === undefined
      ? meanOver(inSets.map((one) => one(drawn)))
      : inSets[Math.max(0, replicate) % inSets.length]!(drawn);
  const own = weigh(everybody);
  const { lastClear, found, time, death } = looked;
  const rows = Int32Array.from(looked.rows);
  const columns = { rows, lastClear, found, time, death };
  const groups = [1, 0].map((code) => {
    const members = filterRows(columns, (i) => treated[rows[i]!] === code);
    const weight = Float64Array.from(members.rows, (row) => own[row]!);
    const course = { ...members, weight };
    return { rows: members.rows, ...reweightedIncidence(visits(course), times) };
  });
  return (drawn, _unit, replicate) => {
    const each = weigh(drawn, replicate);
    const weight = new Float64Array(n);
    drawn.forEach((row, k) => weight[row]! += each[k]!);
    const [repair, replacement] = groups.map((group) =>
      group.under(Float64Array.from(group.rows, (row) => weight[row]!)).incidence
    );
    return [...repair!, ...replacement!, ...repair!.map((risk, k) => risk - replacement![k]!)];
  };
}

function visits<Columns extends { rows: unknown }>({ rows: _, ...rest }: Columns) {
  return rest;
}
