import { followUpOf } from "../../cohort/follow-up/mod.ts";
import type { DurableData } from "../durable/mod.ts";
import type { ProgrammeOperations } from "../operations/mod.ts";

/** What became of the operations, as columns with the rows of the analysis they are of. */
export interface Followed extends DurableData {
  rows: Int32Array;
  repaired: Float64Array;
  time: Float64Array;
  event: Uint8Array;
}

/**
 * Failure of the valve as the study defines it, with death competing, of those whose
 * course is known.
 */
export function followedOperations({ analysis, repaired }: ProgrammeOperations): Followed {
  const { rows, time, event } = followUpOf(analysis, "valve-failure");
  return {
    rows: Int32Array.from(rows),
    time: Float64Array.from(time),
    event: Uint8Array.from(event),
    repaired: Float64Array.from(rows, (row) => repaired[row]!),
  };
}
