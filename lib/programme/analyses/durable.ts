import { DataError } from "../../numerics/mod.ts";
import { type DurableRepair, durableRepair } from "../durable/mod.ts";
import type { ProgrammeOperations } from "../operations/mod.ts";
import { followedOperations } from "./followed.ts";

/**
 * Repairs that lasted, by band of the surgeon's volume and in all; `all` where no
 * surgeon is recorded.
 *
 * @throws {DataError} where of nobody is known how the valve fared.
 */
export function durableByVolume(operations: ProgrammeOperations): DurableRepair[] {
  const { horizons, confidence } = operations.analysis.study;
  const { rows, ...data } = followedOperations(operations);
  if (rows.length === 0) {
    const expected = "with at least one patient whose grade on leaving theatre is known";
    throw new DataError("operations", expected);
  }
  const whole = durableRepair({ ...data, group: Array(rows.length).fill("all") }, {
    times: horizons,
    confidence,
  });
  const band = Array.from(rows, (row) => operations.band[row]!);
  if (band.every((one) => one === "")) return whole;
  const known = [...rows.keys()].filter((k) => band[k] !== "");
  const pick = (column: ArrayLike<number>) => known.map((k) => column[k]!);
  const byBand = durableRepair({
    repaired: pick(data.repaired),
    time: pick(data.time),
    event: pick(data.event),
    group: known.map((k) => band[k]!),
  }, { times: horizons, confidence });
  return [...byBand, ...whole];
}
