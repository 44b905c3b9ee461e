import { addProducts, BLOCK, mirrorLower } from "../../numerics/mod.ts";
import type { PassSums } from "./mode.ts";

/**
 * One pass of multinomial logistic regression: level 0 is the reference, and each other level has a
 * constant and one coefficient a column, level by level.
 *
 * The information of levels k and l is the sum over rows of p_k ((k = l) - p_l) z z', which is
 * symmetric in z: only lower triangles are added up. Cost O(n K^2 q^2 / 4).
 *
 * @param level 0 .. top, one a row.
 */
export function multinomialPass(
  rows: { level: Int32Array; top: number; columns: Float64Array[] },
  beta: Float64Array,
): PassSums {
  const { level, top, columns } = rows;
  const n = level.length;
  const q = columns.length + 1;
  const size = top * q;
  const gradient = new Float64Array(size);
  const information = new Float64Array(size * size);
  const parts = Array.from({ length: top * (top + 1) / 2 }, () => new Float64Array(q * q));
  const z = new Float64Array(q * BLOCK);
  z.fill(1, 0, BLOCK);
  const chance = Array.from({ length: top }, () => new Float64Array(BLOCK));
  const scaled = new Float64Array(BLOCK);
  let logLikelihood = 0;
  for (let start = 0; start < n; start += BLOCK) {
    const count = Math.min(BLOCK, n - start);
    for (let j = 1; j < q; j++) {
      const column = columns[j - 1]!;
      for (let i = 0; i < count; i++) z[j * BLOCK + i] = column[start + i]!;
    }
    for (let k = 0; k < top; k++) {
      const eta = chance[k]!.fill(0);
      for (let j = 0; j < q; j++) {
        const b = beta[k * q + j]!;
        for (let i = 0; i < count; i++) eta[i]! += b * z[j * BLOCK + i]!;
      }
    }
    for (let i = 0; i < count; i++) {
      const own = level[start + i]!;
      logLikelihood += own === 0 ? 0 : chance[own - 1]![i]!;
      logLikelihood -= toProbabilities(chance, i);
    }
    for (let k = 0, part = 0; k < top; k++) {
      const p = chance[k]!;
      for (let j = 0; j < q; j++) {
        let slope = 0;
        for (let i = 0; i < count; i++) {
          slope += ((level[start + i] === k + 1 ? 1 : 0) - p[i]!) * z[j * BLOCK + i]!;
        }
        gradient[k * q + j]! += slope;
      }
      for (let l = 0; l <= k; l++, part++) {
        const other = chance[l]!;
        for (let j = 0; j < q; j++) {
          for (let i = 0; i < count; i++) {
            scaled[i] = p[i]! * ((k === l ? 1 : 0) - other[i]!) * z[j * BLOCK + i]!;
          }
          addProducts(scaled, z, j, q, count, parts[part]!);
        }
      }
    }
  }
  for (let k = 0, part = 0; k < top; k++) {
    for (let l = 0; l <= k; l++, part++) {
      const own = parts[part]!;
      mirrorLower(own, q);
      for (let j = 0; j < q; j++) {
        for (let m = 0; m < q; m++) {
          information[(k * q + j) * size + l * q + m] = own[j * q + m]!;
          information[(l * q + m) * size + k * q + j] = own[j * q + m]!;
        }
      }
    }
  }
  return { logLikelihood, gradient, information };
}

/** Turns the linear predictors of row i into probabilities; the log of their sum, level 0 with 1. */
function toProbabilities(eta: Float64Array[], i: number): number {
  let most = 0;
  for (const own of eta) most = Math.max(most, own[i]!);
  let sum = Math.exp(-most);
  for (const own of eta) sum += own[i] = Math.exp(own[i]! - most);
  for (const own of eta) own[i]! /= sum;
  return most + Math.log(sum);
}
