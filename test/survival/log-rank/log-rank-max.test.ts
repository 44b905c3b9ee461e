import assert from "node:assert/strict";
import { logRank, logRankMax, SeededRandom } from "mitral";
import { assertAllClose, assertClose } from "../../close.ts";
import { numeric, referenceRows } from "../../reference/load.ts";

function lung() {
  const rows = referenceRows("lung.csv");
  return {
    time: numeric(rows, "time"),
    event: numeric(rows, "status"),
    group: rows.map((row) => row.sex!),
    stratum: rows.map((row) => row.inst!),
  };
}

Deno.test("logRankMax() takes the largest of its own weighted tests (identity)", () => {
  const data = lung();
  const { statistic, tests, pValue } = logRankMax(data);
  for (const { rho, gamma, z, pValue } of tests) {
    const alone = logRank(data, { rho, gamma });
    assertClose(z ** 2, alone.statistic);
    assertClose(pValue, alone.pValue);
  }
  const smallest = Math.min(...tests.map((test) => test.pValue));
  assertClose(statistic, Math.max(...tests.map(({ z }) => Math.abs(z))));
  assert.ok(pValue > smallest && pValue < 4 * smallest, "between one test and Bonferroni's");
});

Deno.test("logRankMax() with one weight, or twice the same, is that test (identity)", () => {
  const data = lung();
  const alone = logRank(data, { gamma: 1 });
  const once = logRankMax(data, { weights: [{ rho: 0, gamma: 1 }] });
  assertClose(once.pValue, alone.pValue);
  const twice = logRankMax(data, { weights: [{ rho: 0, gamma: 1 }, { rho: 0, gamma: 1 }] });
  assertClose(twice.pValue, alone.pValue, { relative: 1e-3, absolute: 0 });
});

// By hand: with rho = 0 and gamma = 0 against rho = 1, the covariance is the sum over events of
// S(t-) times the variance; four subjects, one group at a time: times 1..4, S(t-) = 1, 3/4, 1/2.
// Variances 1/4 (2 v 2), 2/9 (1 v 2), 1/4 (1 v 1).
Deno.test("logRankMax() gives the correlation of two tests by hand", () => {
  const { correlation } = logRankMax(
    { time: [1, 2, 3, 4], event: [1, 1, 1, 1], group: ["a", "b", "a", "b"] },
    { weights: [{ rho: 0, gamma: 0 }, { rho: 1, gamma: 0 }] },
  );
  const [v1, v2, v3] = [1 / 4, 2 / 9, 1 / 4];
  const plain = v1 + v2 + v3;
  const early = v1 + v2 * 9 / 16 + v3 / 4;
  const expected = (v1 + v2 * 3 / 4 + v3 / 2) / Math.sqrt(plain * early);
  assertAllClose(correlation, [1, expected, expected, 1]);
});

// Identity: the p value is P(max |Z| >= statistic) for normals of that correlation; here by drawing
// the normals outright.
Deno.test("logRankMax() has the p value that drawing the statistics gives", () => {
  const random = new SeededRandom(9);
  const data = {
    time: Array.from({ length: 60 }, () => random.exponential()),
    event: Array(60).fill(1),
    group: Array.from({ length: 60 }, (_, i) => i % 2),
  };
  const weights = [{ rho: 0, gamma: 0 }, { rho: 0, gamma: 1 }];
  const { correlation, statistic, pValue, pValueError } = logRankMax(data, { weights });
  const r = correlation[1]!;
  const draws = 200_000;
  let reached = 0;
  for (let i = 0; i < draws; i++) {
    const first = random.normal();
    const second = r * first + Math.sqrt(1 - r * r) * random.normal();
    if (Math.max(Math.abs(first), Math.abs(second)) >= statistic) reached++;
  }
  const share = reached / draws;
  const error = Math.hypot(Math.sqrt(share * (1 - share) / draws), pValueError);
  assert.ok(Math.abs(share - pValue) < 4 * error, `${share} v ${pValue}`);
});

Deno.test("logRankMax() sees crossing hazards that the log-rank test does not", () => {
  const random = new SeededRandom(4);
  const early = Array.from({ length: 300 }, () => random.exponential());
  const late = Array.from({ length: 300 }, () => 0.4 + 0.5 * random.exponential());
  const data = {
    time: [...early, ...late],
    event: Array(600).fill(1),
    group: Array.from({ length: 600 }, (_, i) => i < 300 ? 0 : 1),
  };
  const { pValue } = logRankMax(data);
  assert.ok(logRank(data).pValue > 0.05 && pValue < 1e-4, `${logRank(data).pValue}, ${pValue}`);
});

Deno.test("logRankMax() keeps digits of a very small p value, and says 1 without events", () => {
  const time = Array.from({ length: 400 }, (_, i) => i + 1);
  const group = time.map((t) => t <= 200 ? "a" : "b");
  const { pValue, pValueError, tests } = logRankMax({ time, event: time.map(() => 1), group });
  assert.ok(pValue > 0 && pValue < 1e-30 && pValueError < 0.01 * pValue);
  assert.ok(tests.every(({ z }) => z < 0), "the second group has fewer events than expected");
  const none = logRankMax({ time: [1, 2], event: [0, 0], group: ["a", "b"] });
  assert.deepEqual([none.statistic, none.pValue], [0, 1]);
});

Deno.test("logRankMax() names what is wrong with its input", () => {
  const data = { time: [1, 2, 3], event: [1, 1, 1], group: ["a", "b", "c"] };
  assert.throws(() => logRankMax(data), /group must be exactly two/);
  const two = { ...data, group: ["a", "b", "b"] };
  assert.throws(() => logRankMax(two, { weights: [] }), /weights/);
  assert.throws(() => logRankMax(two, { weights: [{ rho: -1, gamma: 0 }] }), /rho/);
  assert.throws(() => logRankMax(two, { draws: 1 }), /draws/);
});
