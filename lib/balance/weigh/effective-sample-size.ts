import { DataError, numberColumn, type Numbers } from "../../numerics/mod.ts";

/**
 * How many equally weighted rows would tell as much: (sum w)^2 / sum w^2. Give it one group at a
 * time.
 *
 * @param weight At least 0, not all 0.
 * @throws {DataError}
 * @see Kish (1965) Survey Sampling, section 11.7.
 */
export function effectiveSampleSize(weight: Numbers): number {
  const column = numberColumn("weight", weight, { min: 0 });
  let total = 0;
  let squares = 0;
  for (const w of column) {
    total += w;
    squares += w * w;
  }
  if (!(squares > 0)) throw new DataError("weight", "above 0 in at least one row", weight);
  return total * total / squares;
}
