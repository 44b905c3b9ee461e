import assert from "node:assert/strict";
import fc from "fast-check";
import {
  categoricalDifference,
  DataError,
  distributionDistance,
  matchPairs,
  standardizedDifference,
  varianceRatio,
} from "mitral";
import { assertClose } from "../close.ts";
import { numeric, referenceCase, referenceRows } from "../reference/load.ts";

const rows = referenceRows("lalonde.csv");
const treated = numeric(rows, "treat");

// Reference: see the case's source.
Deno.test("standardizedDifference() and varianceRatio() agree with the reference, unweighted", () => {
  const { expected, tolerance } = referenceCase("smd-lalonde-raw");
  const { table } = expected;
  table.variable.forEach((name: string, j: number) => {
    const covariate = numeric(rows, name);
    const smd = standardizedDifference({ treated, covariate });
    assertClose(smd, table.smdFixedDenominator[j], tolerance, name);
    if (table.varianceRatio[j] === null) return;
    assertClose(varianceRatio({ treated, covariate }), table.varianceRatio[j], tolerance, name);
  });
});

// Reference: see the case's source. Rows without a partner have weight 0.
Deno.test("standardizedDifference() after matching keeps the denominator of the whole sample", () => {
  const { expected, tolerance } = referenceCase("match-lalonde-greedy");
  const { pairs } = matchPairs({ treated, score: numeric(rows, "logitps10") });
  const weight = new Float64Array(rows.length);
  for (const row of pairs.flat()) weight[row] = 1;
  const { balance } = expected.pooledSd;
  balance.variable.forEach((name: string, j: number) => {
    const covariate = numeric(rows, name);
    assertClose(
      standardizedDifference({ treated, covariate, weight }),
      balance.smdOriginalDenominator[j],
      tolerance,
      name,
    );
    if (balance.varianceRatio[j] === null) return;
    assertClose(
      varianceRatio({ treated, covariate, weight }),
      balance.varianceRatio[j],
      tolerance,
      name,
    );
  });
});

// Published: age -0.3094 before matching with the treated's standard deviation, methods of the
// matching literature's worked example (from memory; 4 decimals).
Deno.test("standardizedDifference() takes the treated's standard deviation on request", () => {
  const covariate = numeric(rows, "age");
  const value = standardizedDifference({ treated, covariate, denominator: "treated" });
  assertClose(value, -0.3094, { relative: 0, absolute: 5e-5 });
});

Deno.test("standardizedDifference() of constants", () => {
  const two = [1, 1, 0, 0];
  assert.equal(standardizedDifference({ treated: two, covariate: [3, 3, 3, 3] }), 0);
  assert.equal(standardizedDifference({ treated: two, covariate: [3, 3, 2, 2] }), Infinity);
  assert.equal(standardizedDifference({ treated: two, covariate: [0, 0, 1, 1] }), -Infinity);
  assert.throws(() => varianceRatio({ treated: two, covariate: [3, 3, 3, 3] }), DataError);
  assert.throws(
    () => standardizedDifference({ treated: two, covariate: [1, 2, 3, 4], weight: [0, 0, 1, 1] }),
    /weight must be above 0 for some row with treated 1/,
  );
});

// By hand: shares (1/2, 1/4, 1/4) against (1/4, 1/4, 1/2). With A and B kept, the difference is
// (1/4, 0) and S = [[7/32, -3/32], [-3/32, 3/16]]; its inverse's first entry is
// (3/16) / (42/1024 - 9/1024) = 64/11, so the square is 4/11.
Deno.test("categoricalDifference() of three levels, by hand", () => {
  const value = categoricalDifference({
    treated: [1, 1, 1, 1, 0, 0, 0, 0],
    category: ["A", "A", "B", "C", "A", "B", "C", "C"],
  });
  assertClose(value, Math.sqrt(4 / 11));
});

// Identity: with two levels it is the absolute standardised difference, weighted or not.
Deno.test("categoricalDifference() of two levels is the standardised difference", () => {
  const row = fc.tuple(
    fc.constantFrom(0, 1),
    fc.constantFrom(0, 1),
    fc.integer({ min: 1, max: 5 }),
  );
  fc.assert(fc.property(fc.array(row, { minLength: 8, maxLength: 40 }), (sample) => {
    const data = {
      treated: [1, 1, 0, 0, ...sample.map(([t]) => t)],
      covariate: [0, 1, 0, 1, ...sample.map(([, x]) => x)],
      weight: [1, 1, 1, 1, ...sample.map(([, , w]) => w)],
    };
    for (const weight of [undefined, data.weight]) {
      const one = categoricalDifference({
        treated: data.treated,
        category: data.covariate.map(String),
        weight,
      });
      const { treated, covariate } = data;
      const plain = standardizedDifference({ treated, covariate, weight });
      assertClose(one, Math.abs(plain), { relative: 1e-9, absolute: 1e-9 });
    }
  }));
});

Deno.test("categoricalDifference() at the edges", () => {
  assert.equal(categoricalDifference({ treated: [1, 0], category: ["A", "A"] }), 0);
  assert.equal(categoricalDifference({ treated: [1, 1, 0], category: ["A", "A", "B"] }), Infinity);
});

// By hand: treated at 1, 2, 3; controls at 2, 3, 4. F1 - F0 is 1/3 at 1, 2 and 3, and 0 at 4.
Deno.test("distributionDistance() by hand", () => {
  const data = { treated: [1, 1, 1, 0, 0, 0], covariate: [1, 2, 3, 2, 3, 4] };
  const { maximum, mean } = distributionDistance(data);
  assertClose(maximum, 1 / 3);
  assertClose(mean, 1 / 4);
  assert.deepEqual(
    distributionDistance({ treated: [1, 1, 0, 0], covariate: [1, 2, 3, 4] }).maximum,
    1,
  );
});

// Reference: the Kolmogorov-Smirnov distances of the case.
Deno.test("distributionDistance() agrees with the reference", () => {
  const { expected, tolerance } = referenceCase("wilcoxon-ks-asah");
  const sample = referenceRows("asah.csv");
  for (const name of ["age", "s100b", "ndka"]) {
    const data = { treated: numeric(sample, "poor"), covariate: numeric(sample, name) };
    assertClose(distributionDistance(data).maximum, expected[name].ks.D, tolerance);
  }
});
