import { DataError, groupColumn, type Labels } from "../../numerics/mod.ts";

/**
 * Operations that each surgeon had done before each one: counted along the rows, which are in the
 * order of operation.
 *
 * @param unit Surgeon of each row.
 * @param before Operations done before the first row, by surgeon; a surgeon left out
 * began with none.
 * @example
 * ```ts
 * import { experienceOf } from "mitral";
 *
 * experienceOf(["A", "B", "A", "A"], { B: 40 }); // 0, 40, 1, 2
 * ```
 * @throws {DataError} where a number before is not a whole number >= 0.
 */
export function experienceOf(unit: Labels, before: Record<string, number> = {}): Float64Array {
  const { codes, labels } = groupColumn("unit", unit);
  const done = labels.map((label) => {
    const count = before[String(label)] ?? 0;
    if (!Number.isSafeInteger(count) || count < 0) {
      throw new DataError(`before.${label}`, "a whole number >= 0", count);
    }
    return count;
  });
  return Float64Array.from(codes, (code) => done[code]!++);
}
