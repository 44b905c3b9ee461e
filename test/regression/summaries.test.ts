import assert from "node:assert/strict";
import fc from "fast-check";
import {
  chiSquareTest,
  DataError,
  distributions,
  fisherTest,
  kolmogorovSmirnovTest,
  mcnemarTest,
  pairedTest,
  proportionInterval,
  rankSumTest,
  rateInterval,
  welchTest,
} from "mitral";
import { assertClose } from "../close.ts";
import { numeric, referenceCase, referenceRows } from "../reference/load.ts";

// Reference unless said otherwise: see the source of the case named.

Deno.test("welchTest() and pairedTest() agree with the reference on the sleep data", () => {
  const { expected, tolerance } = referenceCase("t-tests-sleep");
  const rows = referenceRows("sleep.csv");
  const a = numeric(rows, "drug1");
  const b = numeric(rows, "drug2");
  for (
    const [test, want] of [
      [welchTest(a, b), expected.welch],
      [pairedTest(a, b), expected.paired],
    ]
  ) {
    assertClose(test.estimate, want.estimate, tolerance);
    assertClose(test.statistic, want.t, tolerance);
    assertClose(test.degreesOfFreedom, want.df, tolerance);
    assertClose(test.pValue, want.p, tolerance);
    assertClose(test.lower, want.lower, tolerance);
    assertClose(test.upper, want.upper, tolerance);
  }
  assert.throws(() => welchTest([1], [2, 3]), DataError);
  assert.throws(() => welchTest([1, 1], [2, 2]), DataError);
  assert.throws(() => pairedTest([1, 2], [2, 3, 4]), /of length 2/);
});

Deno.test("rankSumTest() and kolmogorovSmirnovTest() agree with the reference, with ties", () => {
  const { expected, tolerance } = referenceCase("wilcoxon-ks-asah");
  const rows = referenceRows("asah.csv");
  const poor = numeric(rows, "poor");
  for (const name of ["age", "s100b", "ndka"]) {
    const values = numeric(rows, name);
    const a = values.filter((_, i) => poor[i] === 1);
    const b = values.filter((_, i) => poor[i] === 0);
    const { wilcoxon, ks } = expected[name];
    const plain = rankSumTest(a, b);
    assert.equal(plain.method, "normal");
    assertClose(plain.statistic, wilcoxon.W, tolerance);
    assertClose(plain.z, wilcoxon.z, tolerance);
    assertClose(plain.pValue, wilcoxon.p, tolerance);
    assertClose(plain.difference, wilcoxon.hodgesLehmann, tolerance);
    const corrected = rankSumTest(a, b, { continuity: true });
    assertClose(corrected.z, wilcoxon.zContinuity, tolerance);
    assertClose(corrected.pValue, wilcoxon.pContinuity, tolerance);
    const smirnov = kolmogorovSmirnovTest(a, b);
    assertClose(smirnov.statistic, ks.D, tolerance);
    assertClose(smirnov.pValue, ks.pAsymptotic, tolerance);
  }
});

Deno.test("rankSumTest() is exact without ties", () => {
  const { expected, options, tolerance } = referenceCase("wilcoxon-exact-permeability");
  const test = rankSumTest(options.x, options.y);
  assert.equal(test.method, "exact");
  assertClose(test.statistic, expected.W, tolerance);
  assertClose(test.pValue, expected.pTwoSided, tolerance);
  const greater = rankSumTest(options.x, options.y, { alternative: "greater" });
  assertClose(greater.pValue, expected.pGreater, tolerance);
  // by hand: 3 values above 3 others, 1 of the 20 arrangements
  const extreme = { alternative: "greater" } as const;
  assertClose(rankSumTest([4, 5, 6], [1, 2, 3], extreme).pValue, 1 / 20);
  assertClose(rankSumTest([4, 5, 6], [1, 2, 3], { alternative: "less" }).pValue, 1);
  assert.throws(() => rankSumTest([1, 2], [2, 3], { method: "exact" }), /tied/);
});

// Identity: exact tails against counting every arrangement; the shift against all differences.
Deno.test("rankSumTest() equals counting arrangements and differences", () => {
  const sizes = fc.integer({ min: 1, max: 6 });
  fc.assert(
    fc.property(sizes, sizes, fc.integer({ min: 0, max: 1e6 }), (n1, n2, seed) => {
      const n = n1 + n2;
      const values = Array.from({ length: n }, (_, i) => ((i + 1) * 7919 + seed) % 104729);
      if (new Set(values).size < n) return;
      const [a, b] = [values.slice(0, n1), values.slice(n1)];
      const u = (first: number[], second: number[]) =>
        first.reduce((sum, x) => sum + second.filter((y) => x > y).length, 0);
      const seen = u(a, b);
      let all = 0;
      let atLeast = 0;
      for (let bits = 0; bits < 1 << n; bits++) {
        const chosen = values.filter((_, i) => bits & (1 << i));
        if (chosen.length !== n1) continue;
        all++;
        if (u(chosen, values.filter((_, i) => !(bits & (1 << i)))) >= seen) atLeast++;
      }
      const test = rankSumTest(a, b, { alternative: "greater" });
      assertClose(test.pValue, atLeast / all);
      const differences = a.flatMap((x) => b.map((y) => x - y)).sort((x, y) => x - y);
      const half = differences.length / 2;
      const median = (differences[Math.ceil(half) - 1]! + differences[Math.floor(half)]!) / 2;
      assert.equal(test.difference, median);
    }),
    { numRuns: 100 },
  );
});

Deno.test("rankSumTest() keeps its digits in the far tail of 49 against 49", () => {
  const low = Array.from({ length: 49 }, (_, i) => i);
  const test = rankSumTest(low.map((x) => x + 100), low, { alternative: "greater" });
  // by hand: one arrangement of C(98, 49)
  let ways = 1;
  for (let k = 1; k <= 49; k++) ways *= (49 + k) / k;
  assertClose(test.pValue, 1 / ways, { relative: 1e-12, absolute: 0 });
});

Deno.test("chiSquareTest() and fisherTest() agree with the reference", () => {
  const { expected, tolerance } = referenceCase("contingency-tables");
  for (const [name, want] of Object.entries<Record<string, unknown>>(expected)) {
    const counts = want.table as number[][];
    const test = chiSquareTest(counts);
    assertClose(test.statistic, want.chisq as number, tolerance, name);
    assert.equal(test.degreesOfFreedom, want.df);
    assertClose(test.pValue, want.p as number, tolerance, name);
    assertClose(fisherTest(counts).pValue, want.fisherTwoSided as number, tolerance, name);
    if (want.chisqYates === null) continue;
    const corrected = chiSquareTest(counts, { continuity: true });
    assertClose(corrected.statistic, want.chisqYates as number, tolerance, name);
    assertClose(corrected.pValue, want.pYates as number, tolerance, name);
  }
});

/** Every table with the margins of the one given. */
function* sameMargins(rows: number[], columns: number[]): Generator<number[][]> {
  const [first, ...others] = rows;
  if (first === undefined) {
    if (columns.every((left) => left === 0)) yield [];
    return;
  }
  function* fill(j: number, need: number): Generator<number[]> {
    if (j === columns.length) {
      if (need === 0) yield [];
      return;
    }
    for (let take = 0; take <= Math.min(need, columns[j]!); take++) {
      for (const rest of fill(j + 1, need - take)) yield [take, ...rest];
    }
  }
  for (const row of fill(0, first)) {
    for (const rest of sameMargins(others, columns.map((left, j) => left - row[j]!))) {
      yield [row, ...rest];
    }
  }
}

Deno.test("fisherTest() keeps its digits at totals of 1e4 to 5e5", () => {
  const { expected, tolerance } = referenceCase("fisher-large-tables");
  (expected.table as number[][][]).forEach((table, i) =>
    assertClose(fisherTest(table).pValue, expected.twoSided[i], tolerance, String(table))
  );
});

Deno.test("rateInterval() keeps its digits at counts of hundreds to 1e5", () => {
  const { expected, tolerance } = referenceCase("poisson-limits-large");
  (expected.events as number[]).forEach((events, i) => {
    const rate = rateInterval(events, 100, { confidence: expected.confidence[i] });
    assertClose(rate.lower, expected.lower[i], tolerance, `${events} lower`);
    assertClose(rate.upper, expected.upper[i], tolerance, `${events} upper`);
  });
});

// Identity: the sum over all tables, one by one.
Deno.test("fisherTest() equals going through every table", () => {
  const shape = fc.tuple(fc.integer({ min: 2, max: 3 }), fc.integer({ min: 2, max: 4 }));
  const tables = shape.chain(([r, c]) =>
    fc.array(fc.array(fc.nat({ max: 4 }), { minLength: c, maxLength: c }), {
      minLength: r,
      maxLength: r,
    })
  ).filter((table) =>
    table.every((row) => row.some((count) => count > 0)) &&
    table[0]!.every((_, j) => table.some((row) => row[j]! > 0))
  );
  const weight = (table: number[][]) =>
    table.flat().reduce((product, count) => {
      for (let k = 2; k <= count; k++) product /= k;
      return product;
    }, 1);
  fc.assert(
    fc.property(tables, (table) => {
      const rows = table.map((row) => row.reduce((sum, count) => sum + count, 0));
      const columns = table[0]!.map((_, j) => table.reduce((sum, row) => sum + row[j]!, 0));
      const seen = weight(table);
      let all = 0;
      let extreme = 0;
      for (const other of sameMargins(rows, columns)) {
        const w = weight(other);
        all += w;
        if (w <= seen * (1 + 1e-7)) extreme += w;
      }
      assertClose(fisherTest(table).pValue, extreme / all, { relative: 1e-9, absolute: 0 });
    }),
    { numRuns: 100 },
  );
});

Deno.test("tables of counts must be tables of counts", () => {
  assert.throws(() => chiSquareTest([[1, 2]]), DataError);
  assert.throws(() => chiSquareTest([[1, 2], [3]]), /2 counts a row/);
  assert.throws(() => fisherTest([[1, 2], [3, 0.5]]), /table\[1\]\[1\]/);
  assert.throws(() => chiSquareTest([[0, 2], [0, 3]]), /empty column/);
  assert.throws(() => chiSquareTest([[1, 2, 3], [3, 2, 1]], { continuity: true }), /2 x 2/);
});

Deno.test("mcnemarTest() agrees with the reference", () => {
  const { expected, options, tolerance } = referenceCase("mcnemar-approval");
  const test = mcnemarTest(options.b, options.c);
  assertClose(test.statistic, expected.chisq, tolerance);
  assertClose(test.pValue, expected.p, tolerance);
  assertClose(test.corrected.statistic, expected.chisqContinuity, tolerance);
  assertClose(test.corrected.pValue, expected.pContinuity, tolerance);
  assertClose(test.exactPValue, expected.exactP, tolerance);
  assert.equal(mcnemarTest(0, 0).pValue, 1);
  assert.equal(mcnemarTest(3, 3).exactPValue, 1);
});

Deno.test("proportionInterval() agrees with the reference, at the edges too", () => {
  const { expected, tolerance } = referenceCase("binomial-intervals");
  expected.x.forEach((x: number, i: number) => {
    const n = expected.n[i];
    const wilson = proportionInterval(x, n);
    assertClose(wilson.lower, expected.wilsonLower[i], tolerance);
    assertClose(wilson.upper, expected.wilsonUpper[i], tolerance);
    const exact = proportionInterval(x, n, { method: "exact" });
    assertClose(exact.lower, expected.clopperLower[i], tolerance);
    assertClose(exact.upper, expected.clopperUpper[i], tolerance);
  });
  assert.throws(() => proportionInterval(3, 2), /events/);
});

// Identity: at the exact limits the tails of the binomial are half of what is left out.
Deno.test("proportionInterval() exact limits leave 2.5% either side", () => {
  fc.assert(fc.property(fc.integer({ min: 1, max: 200 }), fc.nat({ max: 200 }), (n, k) => {
    const x = Math.min(k, n);
    const { lower, upper } = proportionInterval(x, n, { method: "exact" });
    if (x > 0) assertClose(distributions.binomialAtLeast(x, n, lower), 0.025);
    if (x < n) assertClose(distributions.binomialAtMost(x, n, upper), 0.025);
    const wilson = proportionInterval(x, n);
    assert.ok(wilson.lower <= x / n && x / n <= wilson.upper);
  }));
});

Deno.test("rateInterval() agrees with the reference per 100 patient-years", () => {
  const { expected, tolerance } = referenceCase("poisson-rates");
  expected.events.forEach((events: number, i: number) => {
    const rate = rateInterval(events, expected.patientYears[i]);
    assertClose(rate.estimate, expected.rate100[i], tolerance);
    assertClose(rate.lower, expected.lower100[i], tolerance);
    assertClose(rate.upper, expected.upper100[i], tolerance);
  });
  assert.throws(() => rateInterval(1, 0), /exposure/);
});
