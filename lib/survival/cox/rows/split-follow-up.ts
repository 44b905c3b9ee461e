import {
  checkDataColumns,
  checkLength,
  DataError,
  FOLLOW_UP,
  type FollowUp,
  numberColumn,
  type Numbers,
  TIE_TOLERANCE,
} from "../../../numerics/mod.ts";

/** Follow-up cut into rows (entry, time] that each lie in one period. */
export interface SplitFollowUp {
  /** Times, in the unit given. */
  time: Float64Array;
  /** Code of the event at the end of each piece; 0 for none. */
  event: Int32Array;
  /** When each piece begins. */
  entry: Float64Array;
  /** Weight of each piece: its row's. */
  weight?: Float64Array;
  /** The covariates of the row each piece came from. */
  covariates: Record<string, Float64Array>;
  /** 0 up to the first cut, 1 from there to the second, ... */
  period: Int32Array;
  /** Index of the row each piece came from: a cluster label, or the way to any other column. */
  row: Int32Array;
}

/**
 * Cuts every row's follow-up at the times given, so that an effect can differ by period.
 *
 * A period is (cut before, cut]: an event at a cut belongs to the period it ends. Splitting alone
 * changes no Cox fit; only the last piece of a row carries its event. Where the data have no
 * `entry`, the first piece starts at 0, or at -1 when someone's time is 0 (a row at risk on (0, t]
 * would not be at risk at time 0). Pieces keep the order of their rows. Cost O(pieces).
 *
 * @example
 * ```ts
 * import { splitFollowUp } from "mitral";
 * const pieces = splitFollowUp({ time: [5], event: [1] }, [1, 2]);
 * // pieces.time: 1, 2, 5; pieces.event: 0, 0, 1; pieces.period: 0, 1, 2
 * ```
 * @throws {DataError} Unless the cuts are positive and ascend, and the columns are of one length.
 * @see Therneau & Grambsch (2000), Modeling Survival Data, sec. 3.7 and 6.5.
 */
export function splitFollowUp(
  data: FollowUp & { covariates?: Record<string, Numbers> },
  cuts: Numbers,
): SplitFollowUp {
  // whose the pieces are is picked up again with `row`
  const others = ["group", "cluster", "stratum"];
  checkDataColumns("splitFollowUp", data, [...FOLLOW_UP, "covariates", ...others]);
  const at = numberColumn("cuts", cuts, { above: 0 });
  for (let c = 1; c < at.length; c++) {
    if (!(at[c]! > at[c - 1]!)) throw new DataError("cuts", "ascending", at[c], c);
  }
  const n = data.time?.length ?? 0;
  const time = numberColumn("time", data.time, { min: 0 });
  checkLength("event", data.event, n);
  const entry = data.entry && numberColumn("entry", data.entry, { length: n });
  const weight = data.weight && numberColumn("weight", data.weight, { length: n, above: 0 });
  let longest = 0;
  let shortest = Infinity;
  for (let i = 0; i < n; i++) {
    longest = Math.max(longest, time[i]!);
    shortest = Math.min(shortest, time[i]!);
    if (entry && !(entry[i]! < time[i]!)) {
      throw new DataError("entry", `below its time ${time[i]}`, entry[i], i);
    }
  }
  const start = shortest > 0 ? 0 : -1;
  const tolerance = TIE_TOLERANCE * longest;

  const rows: number[] = [];
  const periods: number[] = [];
  const from: number[] = [];
  const to: number[] = [];
  const events: number[] = [];
  for (let i = 0; i < n; i++) {
    let left = entry ? entry[i]! : start;
    let period = 0;
    // A cut that ties with the entry or the time cuts nothing off.
    while (period < at.length && at[period]! - left < tolerance) period++;
    for (; period < at.length && time[i]! - at[period]! >= tolerance; period++) {
      push(i, period, left, at[period]!, 0);
      left = at[period]!;
    }
    push(i, period, left, time[i]!, data.event[i]!);
  }
  function push(row: number, period: number, left: number, right: number, event: number): void {
    rows.push(row);
    periods.push(period);
    from.push(left);
    to.push(right);
    events.push(event);
  }

  const row = Int32Array.from(rows);
  const pick = (column: Numbers) => Float64Array.from(row, (i) => column[i]!);
  const covariates = Object.entries(data.covariates ?? {}).map(([name, column]) => {
    checkLength(`covariates.${name}`, column, n);
    return [name, pick(column)] as const;
  });
  return {
    time: Float64Array.from(to),
    event: Int32Array.from(events),
    entry: Float64Array.from(from),
    ...(weight ? { weight: pick(weight) } : {}),
    covariates: Object.fromEntries(covariates),
    period: Int32Array.from(periods),
    row,
  };
}
