import { orderOf } from "../../numerics/mod.ts";

/**
 * Rows in groups of nearly equal size, from low to high predictions; equal ones always together.
 */
export function likePredictions(predicted: Float64Array, wanted: number): Uint32Array[] {
  const n = predicted.length;
  const order = orderOf(predicted);
  const groups: Uint32Array[] = [];
  let first = 0;
  for (let g = 1; g <= wanted && first < n; g++) {
    let end = Math.round(n * g / wanted);
    if (end <= first) continue; // ties carried the group before past this one
    while (end < n && predicted[order[end]!] === predicted[order[end - 1]!]) end++;
    groups.push(Uint32Array.from(order.subarray(first, end)));
    first = end;
  }
  return groups;
}
