import assert from "node:assert/strict";
import fc from "fast-check";
import {
  DataError,
  limitForRunLength,
  observedMinusExpected,
  riskAdjustedCusum,
  runLength,
  SeededRandom,
} from "mitral";
import { assertAllClose, assertClose } from "../close.ts";
import { numeric, referenceCase, referenceRows } from "../reference/load.ts";

// Reference: see the case's source (by the formulas of Steiner et al. 2000).
Deno.test("riskAdjustedCusum() agrees with the worked series", () => {
  const { expected, tolerance } = referenceCase("cusum-worked-series");
  const rows = referenceRows("series.csv");
  const data = { outcome: numeric(rows, "failure"), expected: numeric(rows, "risk") };
  const worse = riskAdjustedCusum(data, { oddsRatio: 2 });
  assertAllClose(worse.score, expected.scoreR2, tolerance, "score");
  assertAllClose(worse.path, expected.cusumR2, tolerance, "path");
  assert.deepEqual(worse.signals, []);
  const better = riskAdjustedCusum(data, { oddsRatio: 0.5 });
  assertAllClose(better.score, expected.scoreRhalf, tolerance, "score");
  assertAllClose(better.path, expected.cusumRhalf, tolerance, "path");
  assertAllClose(observedMinusExpected(data), expected.oMinusE, tolerance, "observed - expected");
});

interface SeriesCase {
  oddsRatio: number;
  limit: number;
  score: number[];
  cusum: number[];
  cusumRestarted: number[];
  signals: number[];
  firstAtOrAbove: number | null;
}

// Reference: see the case's source.
Deno.test("riskAdjustedCusum() signals and begins again as the reference series", () => {
  const { expected } = referenceCase("cusum-run-length");
  const rows = referenceRows("series-300.csv");
  const data = { outcome: numeric(rows, "failure"), expected: numeric(rows, "risk") };
  const exact = { relative: 1e-10, absolute: 1e-10 };
  for (const one of expected.series as SeriesCase[]) {
    const { oddsRatio, limit } = one;
    const on = riskAdjustedCusum(data, { oddsRatio, limit });
    assertAllClose(on.score, one.score, exact, "score");
    assertAllClose(on.path, one.cusum, exact, "path");
    assert.equal(
      on.signals[0] ?? null,
      one.firstAtOrAbove === null ? null : one.firstAtOrAbove - 1,
    );
    const again = riskAdjustedCusum(data, { oddsRatio, limit, restart: true });
    assertAllClose(again.path, one.cusumRestarted, exact, "restarted");
    assert.deepEqual(again.signals, one.signals.map((place) => place - 1));
  }
});

// Reference: see the case's source; every path of an excursion counted.
Deno.test("runLength() is exact where all operations have one risk", () => {
  const { expected: { oneRisk: of } } = referenceCase("cusum-run-length");
  for (let i = 0; i < of.risk.length; i++) {
    const { mean } = runLength({
      expected: [of.risk[i]],
      oddsRatio: of.oddsRatio[i],
      limit: of.limit[i],
      trueOddsRatio: of.trueOddsRatio[i],
    });
    assertClose(mean, of.averageRunLength[i], { relative: 1e-9, absolute: 0 }, `case ${i}`);
  }
});

interface MixCase {
  risks: number[];
  shares: number[];
  oddsRatio: number;
  trueOddsRatio: number;
  limit: number;
  averageRunLength: number;
}

// Reference: see the case's source; its own tolerance.
Deno.test("runLength() agrees with the reference for case mixes", () => {
  const { expected, tolerance } = referenceCase("cusum-run-length");
  for (const one of [...expected.latticeMix, ...expected.caseMix] as MixCase[]) {
    const { oddsRatio, trueOddsRatio, limit } = one;
    const asked = { expected: one.risks, share: one.shares, oddsRatio, trueOddsRatio, limit };
    assertClose(runLength(asked).mean, one.averageRunLength, tolerance);
  }
});

// By simulation: a thousand charts run to their signal, each operation drawn from 400 risks.
Deno.test("runLength() is the mean of simulated run lengths, with many risks", () => {
  const random = new SeededRandom(11);
  const expected = Float64Array.from({ length: 400 }, () => 0.01 + 0.25 * random.uniform() ** 3);
  for (const [oddsRatio, trueOddsRatio] of [[2, 2], [0.5, 0.5]] as const) {
    const limit = 2.2;
    const { mean } = runLength({ expected, oddsRatio, limit, trueOddsRatio });
    const lengths = Float64Array.from({ length: 1000 }, () => {
      let height = 0;
      for (let done = 1;; done++) {
        const p = expected[random.integer(400)]!;
        const fails = random.bernoulli(trueOddsRatio * p / (1 - p + trueOddsRatio * p));
        height = Math.max(0, height + Math.log((fails ? oddsRatio : 1) / (1 - p + oddsRatio * p)));
        if (height >= limit) return done;
      }
    });
    const average = lengths.reduce((sum, one) => sum + one, 0) / 1000;
    const spread = Math.sqrt(lengths.reduce((sum, one) => sum + (one - average) ** 2, 0) / 999);
    const errors = (average - mean) / (spread / Math.sqrt(1000));
    assert.ok(Math.abs(errors) < 3, `${mean} against ${average}, ${errors} Monte-Carlo errors`);
  }
});

// By hand: one failure signals at once, so the length is geometric with mean 1 / p.
Deno.test("runLength() with a limit within one failure's reach is the wait for a failure", () => {
  assertClose(runLength({ expected: [0.1], oddsRatio: 2, limit: 0.5 }).mean, 10);
  assertClose(
    runLength({ expected: [0.1], oddsRatio: 2, limit: 0.5, trueOddsRatio: 9 }).mean,
    2, // odds 1/9 * 9 = 1
  );
});

// Identity: the limit found has the length asked for.
Deno.test("limitForRunLength() finds the limit of a wanted run length", () => {
  const mix = { expected: [0.01, 0.03, 0.08, 0.2], share: [4, 3, 2, 1] };
  for (const oddsRatio of [2, 0.5]) {
    const { limit, mean } = limitForRunLength({ ...mix, oddsRatio, mean: 800 });
    assertClose(mean, 800, { relative: 2e-3, absolute: 0 });
    assert.ok(mean >= 800 * (1 - 1e-9));
    assertClose(runLength({ ...mix, oddsRatio, limit }).mean, mean, {
      relative: 1e-9,
      absolute: 0,
    });
  }
});

// Lengths come in steps with one risk: the first that is long enough.
Deno.test("limitForRunLength() goes over a step where no limit has the length asked for", () => {
  const mix = { expected: [0.1], oddsRatio: 2 };
  const { limit, mean } = limitForRunLength({ ...mix, mean: 12 });
  assert.ok(mean >= 12);
  assert.ok(runLength({ ...mix, limit: limit * 0.999 }).mean < 12);
});

// Properties: row order and the unit of shares change nothing; a higher limit takes longer.
Deno.test("runLength() ignores order and unit of shares, and rises with the limit", () => {
  const kinds = fc.array(
    fc.tuple(fc.double({ min: 0.005, max: 0.4, noNaN: true }), fc.integer({ min: 1, max: 9 })),
    { minLength: 2, maxLength: 4 },
  );
  fc.assert(
    fc.property(kinds, fc.constantFrom(0.5, 1.5, 2), (mix, oddsRatio) => {
      const of = (rows: typeof mix, limit: number, unit = 1) =>
        runLength({
          expected: rows.map(([risk]) => risk),
          share: rows.map(([, share]) => unit * share),
          oddsRatio,
          limit,
        }).mean;
      const mean = of(mix, 1);
      assertClose(of(mix.toReversed(), 1, 0.25), mean, { relative: 1e-9, absolute: 0 });
      assert.ok(of(mix, 1.4) >= mean * (1 - 1e-3));
    }),
    { numRuns: 8 },
  );
});

Deno.test("the charts say what is wrong with their input", () => {
  const data = { outcome: [0, 1], expected: [0.1, 0.2] };
  assert.throws(
    () => riskAdjustedCusum({ ...data, expected: [0.1, 1.2] }, { oddsRatio: 2 }),
    new DataError("expected", "strictly between 0 and 1", 1.2, 1),
  );
  assert.throws(
    () => riskAdjustedCusum({ ...data, outcome: [0, 2] }, { oddsRatio: 2 }),
    new DataError("outcome", "0 or 1", 2, 1),
  );
  assert.throws(
    () => riskAdjustedCusum(data, { oddsRatio: 1 }),
    new DataError("oddsRatio", "a finite number > 0, and not 1", 1),
  );
  assert.throws(() => riskAdjustedCusum(data, { oddsRatio: 2, limit: 0 }), DataError);
  assert.throws(() => runLength({ expected: [], oddsRatio: 2, limit: 1 }), DataError);
  assert.throws(
    () => runLength({ expected: [0.1], share: [0], oddsRatio: 2, limit: 1 }),
    DataError,
  );
  assert.throws(() => runLength({ expected: [0.1], oddsRatio: 2, limit: NaN }), DataError);
  assert.throws(() => limitForRunLength({ expected: [0.1], oddsRatio: 2, mean: 1 }), DataError);
});
