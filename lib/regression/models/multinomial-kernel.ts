import { addProducts, BLOCK, mirrorLower } from "../../numerics/mod.ts";

/** Rows of a multinomial logistic regression, its columns scaled. */
export interface MultinomialRows {
  /** 0 .. top, one a row. */
  level: Int32Array;
  top: number;
  columns: Float64Array[];
}

/** What a pass over the rows finds. */
export interface MultinomialSums {
  logLikelihood: number;
  gradient: Float64Array;
  /** Row-major, symmetric. */
  information: Float64Array;
  /** Largest absolute linear predictor. */
  extreme: number;
}

/**
 * One pass of multinomial logistic regression: level 0 is the reference, and each other level has a
 * constant and one coefficient a column, level by level.
 *
 * The information of levels k and l is the sum over rows of p_k ((k = l) - p_l) z z', which is
 * symmetric in z: only lower triangles are added up. Cost O(n K^2 q^2 / 4).
 *
 * @param probability Where the probability of each level goes, one column a level, if wanted.
 */
export function multinomialPass(
  rows: MultinomialRows,
  beta: Float64Array,
  probability?: Float64Array[],
): MultinomialSums {
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
  const curvature = new Float64Array(BLOCK);
  let logLikelihood = 0;
  let extreme = 0;
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
    for (const eta of chance) {
      for (let i = 0; i < count; i++) extreme = Math.max(extreme, Math.abs(eta[i]!));
    }
    for (let i = 0; i < count; i++) {
      const own = level[start + i]!;
      logLikelihood += own === 0 ? 0 : chance[own - 1]![i]!;
      const [logSum, reference] = toProbabilities(chance, i);
      logLikelihood -= logSum;
      if (!probability) continue;
      probability[0]![start + i] = reference;
      for (let k = 0; k < top; k++) probability[k + 1]![start + i] = chance[k]![i]!;
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
        for (let i = 0; i < count; i++) {
          curvature[i] = p[i]! * ((k === l ? 1 : 0) - other[i]!);
        }
        addProducts(
          (j, into) => {
            for (let i = 0; i < count; i++) into[i] = curvature[i]! * z[j * BLOCK + i]!;
          },
          z,
          q,
          count,
          parts[part]!,
        );
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
  return { logLikelihood, gradient, information, extreme };
}

/**
 * Turns the linear predictors of row i into probabilities. Returns the log of the sum of
 * exponentials, level 0 with 1, and the probability of level 0.
 */
function toProbabilities(eta: Float64Array[], i: number): [logSum: number, reference: number] {
  let most = 0;
  for (const own of eta) most = Math.max(most, own[i]!);
  const reference = Math.exp(-most);
  let sum = reference;
  for (const own of eta) sum += own[i] = Math.exp(own[i]! - most);
  for (const own of eta) own[i]! /= sum;
  return [most + Math.log(sum), reference / sum];
}

/**
 * Whether moving along `step` takes every row towards its own level, against each other level, or
 * leaves it where it is: then the likelihood rises for ever along it, and no maximum exists.
 *
 * @see Albert & Anderson (1984) Biometrika 71:1-10.
 */
export function isMultinomialRecession(
  { level, top, columns }: MultinomialRows,
  step: Float64Array,
  tolerance: number,
): boolean {
  const n = level.length;
  const q = columns.length + 1;
  const moves = Array.from({ length: top + 1 }, (_, k) => {
    const move = new Float64Array(n).fill(k === 0 ? 0 : step[(k - 1) * q]!);
    for (let j = 1; j < q && k > 0; j++) {
      const b = step[(k - 1) * q + j]!;
      for (let i = 0; i < n; i++) move[i]! += b * columns[j - 1]![i]!;
    }
    return move;
  });
  let worst = Infinity;
  let best = -Infinity;
  for (let i = 0; i < n; i++) {
    const own = moves[level[i]!]![i]!;
    for (let k = 0; k <= top; k++) {
      if (k === level[i]) continue;
      const towards = own - moves[k]![i]!;
      worst = Math.min(worst, towards);
      best = Math.max(best, towards);
    }
  }
  return best > 0 && worst > -tolerance * best;
}
