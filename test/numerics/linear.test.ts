import assert from "node:assert/strict";
import fc from "fast-check";
import {
  factorSymmetric,
  invertFactored,
  multiplySquare,
  quadraticForm,
  solveFactored,
} from "../../lib/numerics/algebra/linear.ts";
import { assertAllClose } from "../close.ts";

const tight = { relative: 1e-9, absolute: 1e-9 };

Deno.test("factorSymmetric() and friends solve a system worked by hand", () => {
  // By hand: [[4, 2], [2, 3]] has determinant 8, inverse [[3, -2], [-2, 4]] / 8.
  const factor = factorSymmetric(Float64Array.of(4, 2, 2, 3), 2);
  assertAllClose(invertFactored(factor), [3 / 8, -2 / 8, -2 / 8, 4 / 8], tight);
  assertAllClose(solveFactored(factor, [8, 8]), [1, 2], tight);
  assert.equal(quadraticForm([1, 2], Float64Array.of(4, 2, 2, 3)), 4 + 4 + 4 + 12);
});

Deno.test("factorSymmetric() drops a column that earlier columns explain", () => {
  const factor = factorSymmetric(Float64Array.of(4, 2, 0, 2, 1, 0, 0, 0, 5), 3);
  assert.deepEqual(factor.dropped, [1]);
  assertAllClose(invertFactored(factor), [1 / 4, 0, 0, 0, 0, 0, 0, 0, 1 / 5], tight);
});

Deno.test("invertFactored() times the matrix is the identity", () => {
  fc.assert(fc.property(
    fc.array(fc.double({ min: -2, max: 2, noNaN: true }), { minLength: 9, maxLength: 9 }),
    (entries) => {
      const root = Float64Array.from(entries);
      const matrix = new Float64Array(9);
      for (let i = 0; i < 3; i++) {
        for (let j = 0; j < 3; j++) {
          for (let k = 0; k < 3; k++) matrix[i * 3 + j]! += root[i * 3 + k]! * root[j * 3 + k]!;
        }
        matrix[i * 4]! += 1; // well conditioned
      }
      const product = multiplySquare(matrix, invertFactored(factorSymmetric(matrix, 3)), 3);
      assertAllClose(product, [1, 0, 0, 0, 1, 0, 0, 0, 1], tight);
    },
  ));
});
