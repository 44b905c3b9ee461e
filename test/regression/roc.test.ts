import assert from "node:assert/strict";
import fc from "fast-check";
import { DataError, rocCurve, rocDifference } from "mitral";
import { assertClose } from "../close.ts";
import { numeric, referenceCase, referenceRows } from "../reference/load.ts";

// Reference: see the case's source.
Deno.test("rocCurve() agrees with the reference on three markers", () => {
  const { expected, tolerance } = referenceCase("auc-delong-asah");
  const rows = referenceRows("asah.csv");
  const outcome = numeric(rows, "poor");
  for (const marker of ["s100b", "wfns", "ndka"]) {
    const { area } = rocCurve({ outcome, score: numeric(rows, marker) });
    assertClose(area.estimate, expected[marker].auc, tolerance);
    assertClose(area.standardError, expected[marker].se, tolerance);
    assertClose(area.standardError ** 2, expected[marker].variance, tolerance);
    assertClose(area.lower, expected[marker].lower, tolerance);
    assertClose(area.upper, expected[marker].upper, tolerance);
  }
  const paired = rocDifference({
    outcome,
    first: numeric(rows, "wfns"),
    second: numeric(rows, "s100b"),
  });
  assertClose(paired.z, expected.pairedWfnsMinusS100b.z, tolerance);
  assertClose(paired.pValue, expected.pairedWfnsMinusS100b.p, tolerance);
  assertClose(paired.covariance, expected.pairedWfnsMinusS100b.covariance, tolerance);
});

const samples = fc.array(fc.tuple(fc.constantFrom(0, 1), fc.integer({ min: 0, max: 6 })), {
  minLength: 4,
  maxLength: 40,
}).filter((rows) => {
  const ones = rows.filter(([y]) => y === 1).length;
  return ones >= 2 && rows.length - ones >= 2;
});

// Identity: the area is the share of pairs ordered rightly, and the area under the points.
Deno.test("rocCurve() equals counting every pair, and the trapezia under its own points", () => {
  fc.assert(
    fc.property(samples, (rows) => {
      const outcome = rows.map(([y]) => y);
      const score = rows.map(([, s]) => s);
      const { area, points } = rocCurve({ outcome, score });
      let won = 0;
      let pairs = 0;
      for (const [y, s] of rows) {
        for (const [w, t] of rows) {
          if (y !== 1 || w !== 0) continue;
          pairs++;
          won += s > t ? 1 : s === t ? 0.5 : 0;
        }
      }
      assertClose(area.estimate, won / pairs, { relative: 1e-12, absolute: 1e-12 });
      let under = 0;
      points.slice(1).forEach((point, i) => {
        const before = points[i]!;
        under += (before.specificity - point.specificity) *
          (before.sensitivity + point.sensitivity) / 2;
      });
      assertClose(area.estimate, under, { relative: 1e-12, absolute: 1e-12 });
      assert.ok(area.lower >= 0 && area.upper <= 1);
    }),
    { numRuns: 200 },
  );
});

// Identity: only ranks count, and turning the score round gives one minus the area.
Deno.test("rocCurve() depends on ranks only", () => {
  fc.assert(fc.property(samples, (rows) => {
    const outcome = rows.map(([y]) => y);
    const score = rows.map(([, s]) => s);
    const plain = rocCurve({ outcome, score }).area;
    const bent = rocCurve({ outcome, score: score.map((s) => Math.exp(s) - 50) }).area;
    const turned = rocCurve({ outcome, score: score.map((s) => -s) }).area;
    assert.deepEqual(bent, plain);
    assertClose(turned.estimate, 1 - plain.estimate, { relative: 0, absolute: 1e-12 });
  }));
});

Deno.test("rocDifference() of a score with itself is zero for certain", () => {
  const outcome = [0, 0, 1, 1, 0, 1];
  const score = [1, 2, 3, 4, 5, 6];
  const same = rocDifference({ outcome, first: score, second: score.map((s) => 2 * s) });
  assert.equal(same.estimate, 0);
  assert.equal(same.pValue, 1);
});

Deno.test("rocCurve() needs both outcomes and finite scores", () => {
  assert.throws(() => rocCurve({ outcome: [0, 0, 0, 1], score: [1, 2, 3, 4] }), DataError);
  assert.throws(() => rocCurve({ outcome: [0, 0, 1, 1], score: [1, 2, NaN, 4] }), /score\[2\]/);
});
