import { SeededRandom } from "../../numerics/mod.ts";
import type { VisitColumns } from "./visit-design.ts";

/** Weights of bootstrap samples of patients; a sample without a recurrence is drawn again. */
export function resample(
  { weight, found }: VisitColumns,
  samples: number,
  seed: number,
): Float64Array[] {
  const random = new SeededRandom(seed);
  const out: Float64Array[] = [];
  while (out.length < samples) {
    const copy = new Float64Array(weight.length);
    let some = false;
    for (let draw = 0; draw < weight.length; draw++) {
      const i = random.integer(weight.length);
      copy[i]! += weight[i]!;
      some ||= found[i]! < Infinity;
    }
    if (some) out.push(copy);
  }
  return out;
}
