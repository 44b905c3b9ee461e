import {
  binaryColumn,
  checkConfidence,
  checkDataColumns,
  DataError,
  groupColumn,
  type Labels,
  type Numbers,
} from "../../numerics/mod.ts";
import { proportionInterval } from "../../regression/rates/mod.ts";

/** Patients of one type: how many there are, and what share of all events is theirs. */
export interface TypeShare {
  /** Label of the type. */
  type: string | number;
  /** Rows. */
  n: number;
  /** Rows with the event, not weighted. */
  events: number;
  /** 0 to 1. */
  shareOfPatients: number;
  /** 0 to 1. */
  shareOfEvents: number;
  /** Share of the type with the event, with Wilson limits. */
  rate: { estimate: number; lower: number; upper: number };
}

/**
 * Types of patients (mechanism and leaflet, say) by the share of all events that they make, largest
 * first.
 *
 * @example
 * ```ts
 * import { sharesByType } from "mitral";
 *
 * sharesByType({ outcome: [1, 0, 1, 0], type: ["rheumatic", "posterior", "rheumatic", "posterior"] })[0];
 * ```
 * @throws {DataError} without any event.
 */
export function sharesByType(
  data: { outcome: Numbers; type: Labels },
  options: { confidence?: number } = {},
): TypeShare[] {
  checkDataColumns("sharesByType", data, ["outcome", "type"]);
  const confidence = checkConfidence(options.confidence);
  const outcome = binaryColumn("outcome", data.outcome);
  const n = outcome.length;
  const { codes, labels } = groupColumn("type", data.type, n);
  const count = new Float64Array(labels.length);
  const events = new Float64Array(labels.length);
  codes.forEach((code, i) => {
    count[code]!++;
    events[code]! += outcome[i]!;
  });
  const total = events.reduce((sum, value) => sum + value, 0);
  if (total === 0) throw new DataError("outcome", "1 in at least one row", outcome[0], 0);
  return labels.map((type, k) => ({
    type,
    n: count[k]!,
    events: events[k]!,
    shareOfPatients: count[k]! / n,
    shareOfEvents: events[k]! / total,
    rate: proportionInterval(events[k]!, count[k]!, { confidence }),
  })).sort((a, b) => b.events - a.events || b.n - a.n);
}
