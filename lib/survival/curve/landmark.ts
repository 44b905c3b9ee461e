import {
  checkDataColumns,
  checkNumber,
  DataError,
  FOLLOW_UP,
  type FollowUp,
  followUpColumns,
  TIE_TOLERANCE,
} from "../../numerics/mod.ts";

/** Why a row is not part of a landmark analysis. */
export type LandmarkReason = "event by the landmark" | "censored by the landmark" | "entered later";

/** Who is at risk at a landmark, re-timed, and who is not. */
export interface Landmark {
  /** The landmark. */
  at: number;
  /** Follow-up of the rows kept, in the caller's order; time counts from the landmark. */
  data: { time: Float64Array; event: Int32Array; weight?: Float64Array };
  /** Row indices kept, ascending. */
  kept: Uint32Array;
  /** Rows left out, ascending, each with its reason. */
  leftOut: { index: number; reason: LandmarkReason }[];
  /** How many rows were left out for each reason. */
  counts: Record<LandmarkReason, number>;
  /** The kept rows of any other column of the same data. */
  select<T>(column: ArrayLike<T>): T[];
}

/**
 * Landmark analysis: those still at risk at a time fixed in advance, followed from there.
 *
 * Kept: rows with time after the landmark and, with delayed entry, entry before it. New time =
 * time - landmark, and nobody enters late any more. Left out, with the reason: the event or the
 * censoring came at or before the landmark (times closer than 1e-9 of the largest count as equal
 * to it), or the row entered at or after it and so was not under observation then. Groups must be
 * made from what was known by the landmark: nothing here can check that.
 *
 * Cost O(n log n). Units: the caller's time unit.
 *
 * @example
 * ```ts
 * import { landmark } from "mitral";
 * const view = landmark({ time: [1, 3, 5], event: [1, 0, 1] }, 2);
 * view.data.time; // [1, 3]
 * view.leftOut; // [{ index: 0, reason: "event by the landmark" }]
 * ```
 * @throws {DataError} as the estimators do for data (causes 1..K are allowed), and for a landmark
 * that nobody is still at risk at.
 * @see Anderson, Cain & Gelber (1983) J Clin Oncol 1:710-719.
 */
export function landmark(data: FollowUp, at: number): Landmark {
  // who the rows are is picked up again with `select`
  const others = ["group", "cluster", "stratum", "covariates"];
  checkDataColumns("landmark", data, [...FOLLOW_UP, ...others]);
  checkNumber("at", at, (value) => value >= 0 && value < Infinity, "a finite number >= 0");
  const { n, time, event, entry, weight, order } = followUpColumns(data, { causes: true });
  const last = time[order[n - 1]!]!;
  const tolerance = TIE_TOLERANCE * last;
  const counts: Record<LandmarkReason, number> = {
    "event by the landmark": 0,
    "censored by the landmark": 0,
    "entered later": 0,
  };
  const leftOut: Landmark["leftOut"] = [];
  const rows: number[] = [];
  for (let index = 0; index < n; index++) {
    const since = time[index]! - at;
    const entered = entry ? entry[index]! - at : -Infinity;
    let reason: LandmarkReason | undefined;
    if (since <= 0 || since < tolerance) {
      reason = event[index]! > 0 ? "event by the landmark" : "censored by the landmark";
    } else if (entered >= 0 || entered > -tolerance) reason = "entered later";
    if (reason === undefined) rows.push(index);
    else {
      leftOut.push({ index, reason });
      counts[reason]++;
    }
  }
  if (rows.length === 0) {
    throw new DataError("at", `a time at which somebody is at risk, before ${last}`, at);
  }
  const kept = Uint32Array.from(rows);
  return {
    at,
    data: {
      time: Float64Array.from(kept, (row) => time[row]! - at),
      event: Int32Array.from(kept, (row) => event[row]!),
      ...(weight && { weight: Float64Array.from(kept, (row) => weight[row]!) }),
    },
    kept,
    leftOut,
    counts,
    select: (column) => Array.from(kept, (row) => column[row]!),
  };
}
