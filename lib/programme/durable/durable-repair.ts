import {
  binaryColumn,
  checkConfidence,
  checkDataColumns,
  DataError,
  groupColumn,
  type Labels,
  type Limits,
  numberColumn,
  type Numbers,
} from "../../numerics/mod.ts";
import { cumulativeIncidence } from "../../competing/incidence/mod.ts";

/** Operations that set out from the same point, and what became of the valve. */
export interface DurableData {
  /** 1 where the patient left theatre with a repair, 0 where not. */
  repaired: Numbers;
  /**
   * Years to the failure, death or the last that is known; 0 for a repair that left with a leak.
   */
  time: Numbers;
  /** 0 followed without failure, 1 failure of the repair, 2 death before any. Of repairs alone. */
  event: Numbers;
}

/** What became of all patients of a group by a given year; the four shares sum to 1. */
export interface DurableRepair {
  /** Label of the group. */
  group: string | number;
  /** Years after operation. */
  time: number;
  /** Rows. */
  n: number;
  /** Left theatre without a repair. */
  notRepaired: Limits;
  /** Repaired, and the repair had failed. */
  failed: Limits;
  /** Repaired, and died before any failure. */
  died: Limits;
  /** Alive with a repair that had not failed. */
  aliveAndDurable: Limits;
  /** Repaired without a failure up to then or to death: 1 - notRepaired - failed. */
  durable: Limits;
  /** Still alive, repaired and watched without failure after that time. */
  atRisk: number;
}

/**
 * A repair rate that counts failure: of all patients operated on, how many were repaired and stayed
 * free of failure.
 *
 * A patient who was not repaired has failed at once; a failure, with death competing, counts when
 * it comes (Aalen-Johansen). Limits by the delta method on the log-log scale, patients taken as
 * independent: where groups are of few surgeons they are too narrow. Cost O(n log n).
 *
 * @example
 * ```ts
 * import { durableRepair } from "mitral";
 *
 * const data = { repaired: [1, 1, 1, 0], time: [5, 2, 6, 0], event: [0, 1, 0, 0] };
 * durableRepair(data, { times: [4] })[0]?.durable.estimate; // 0.5
 * ```
 * @param data.group Whose results are told apart, such as bands of surgeon volume.
 * @param options.times Years, at least one.
 * @returns A row for each group and time.
 * @throws {DataError}
 * @see Aalen & Johansen (1978) Scand J Stat 5:141-150.
 */
export function durableRepair(
  data: DurableData & { group?: Labels },
  options: { times: Numbers; confidence?: number },
): DurableRepair[] {
  checkDataColumns("durableRepair", data, ["repaired", "time", "event", "group"]);
  const confidence = checkConfidence(options.confidence);
  const { repaired, time, event } = durableColumns(data);
  const n = repaired.length;
  const times = numberColumn("times", options.times, { min: 0 });
  if (times.length === 0) throw new DataError("times", "at least one", options.times);
  const { codes, labels } = groupColumn("group", data.group ?? new Float64Array(n), n);
  return labels.flatMap((group, code) => {
    const rows = [...codes.keys()].filter((row) => codes[row] === code);
    const of = (causeOf: (row: number) => number) =>
      cumulativeIncidence({
        time: rows.map((row) => repaired[row] === 1 ? time[row]! : 0),
        event: rows.map(causeOf),
      }, { confidence, causes: [1, 2, 3] });
    const apart = of((row) => repaired[row] === 1 ? [0, 2, 3][event[row]!]! : 1);
    const lost = of((row) => repaired[row] === 1 ? [0, 1, 2][event[row]!]! : 1);
    const ended = of((row) => repaired[row] === 1 && event[row] === 0 ? 0 : 1);
    const shares = (curve: typeof apart, cause: number): Limits[] => {
      const { incidence, lower, upper } = curve.causes[cause - 1]!.at(times);
      return Array.from(incidence, (estimate, k) => ({
        estimate,
        lower: lower[k]!,
        upper: upper[k]!,
      }));
    };
    const parts = [1, 2, 3].map((cause) => shares(apart, cause));
    const durable = shares(lost, 1).map(complement);
    const alive = shares(ended, 1).map(complement);
    return Array.from(times, (at, k) => ({
      group,
      time: at,
      n: rows.length,
      notRepaired: parts[0]![k]!,
      failed: parts[1]![k]!,
      died: parts[2]![k]!,
      aliveAndDurable: alive[k]!,
      durable: durable[k]!,
      atRisk: rows.filter((row) => repaired[row] === 1 && time[row]! > at).length,
    }));
  });
}

function complement({ estimate, lower, upper }: Limits): Limits {
  return { estimate: 1 - estimate, lower: 1 - upper, upper: 1 - lower };
}

/** Checks what became of repairs. @throws {DataError} */
export function durableColumns(
  data: DurableData,
): { repaired: Uint8Array; time: Float64Array; event: Uint8Array } {
  const repaired = binaryColumn("repaired", data.repaired);
  const n = repaired.length;
  if (n === 0) throw new DataError("repaired", "at least one row");
  const time = numberColumn("time", data.time, { length: n, min: 0 });
  const event = numberColumn("event", data.event, { length: n, min: 0, max: 2, integer: true });
  return { repaired, time, event: Uint8Array.from(event) };
}
