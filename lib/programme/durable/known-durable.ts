import { checkNumber, orderOf } from "../../numerics/mod.ts";
import { durableColumns, type DurableData } from "./durable-repair.ts";

/** Whether each repair had lasted by a horizon, where that is known. */
export interface KnownDurable {
  /** 1 repaired and free of failure up to the horizon or death; 0 not repaired, or failed. */
  outcome: Uint8Array;
  /** Inverse of the chance that it would still be known; 0 where it is not known. */
  weight: Float64Array;
  /** Repairs lost from sight before the horizon. */
  unknown: number;
}

/**
 * Durable repair at one horizon as a yes or no, with weights that let the patients whose answer is
 * known stand for those lost from sight before it: inverse probability of censoring, by
 * Kaplan-Meier.
 *
 * Loss must not depend on how the valve does. Events come before losses at the same time. Cost
 * O(n log n).
 *
 * @throws {DataError}
 * @see Robins & Finkelstein (2000) Biometrics 56:779-788.
 */
export function knownDurable(data: DurableData, horizon: number): KnownDurable {
  const { repaired, time, event } = durableColumns(data);
  checkNumber("horizon", horizon, (h) => h > 0 && h < Infinity, "a finite number > 0");
  const n = repaired.length;
  const outcome = new Uint8Array(n);
  const weight = new Float64Array(n);
  repaired.forEach((value, row) => weight[row] = value === 0 ? 1 : 0);
  const order = [...orderOf(time)].filter((row) => repaired[row] === 1);
  let watched = 1; // chance of not being lost before the time reached
  let unknown = 0;
  let first = 0;
  while (first < order.length && time[order[first]!]! < horizon) {
    const now = time[order[first]!]!;
    const atRisk = order.length - first;
    let lost = 0;
    let end = first;
    for (; end < order.length && time[order[end]!] === now; end++) {
      const row = order[end]!;
      if (event[row] === 0) {
        lost++;
      } else {
        outcome[row] = event[row] === 2 ? 1 : 0;
        weight[row] = 1 / watched;
      }
    }
    if (lost > 0) watched *= 1 - lost / (atRisk - (end - first - lost));
    unknown += lost;
    first = end;
  }
  for (const row of order.slice(first)) {
    outcome[row] = time[row] === horizon && event[row] === 1 ? 0 : 1;
    weight[row] = 1 / watched;
  }
  return { outcome, weight, unknown };
}
