import assert from "node:assert/strict";
import { DataError, proportionInterval, segmentedTrend } from "mitral";
import { assertAllClose, assertClose } from "../close.ts";

// Identity: an amount that follows the model without noise is given back.
Deno.test("segmentedTrend() gives back a series without noise", () => {
  const time = Array.from({ length: 120 }, (_, i) => 2010 + i / 10);
  const hard = time.map((_, i) => (i * 7) % 5);
  const outcome = time.map((t, i) =>
    50 + 2 * (t - 2016) + (t >= 2016 ? -6 - 1.5 * (t - 2016) : 0) + 3 * hard[i]!
  );
  const trend = segmentedTrend({ outcome, time, covariates: { hard } }, {
    kind: "amount",
    dates: [2016],
  });
  const close = { relative: 1e-8, absolute: 1e-8 };
  assertClose(trend.slope.estimate, 2, close);
  const [change] = trend.changes;
  assertClose(change!.step.estimate, -6, close);
  assertClose(change!.slope.estimate, -1.5, close);
  // with the case mix held alike: mean of hard is 2
  const at = (t: number) => trend.fitted.estimate[trend.fitted.time.findIndex((x) => x >= t)]!;
  assertClose(at(2016), 50 - 6 + 6, close);
  const last = trend.unchanged.estimate.at(-1)!;
  assertClose(last, 50 + 2 * (time.at(-1)! - 2016) + 6, close);
  assert.equal(trend.years.length, 12);
  assertClose(trend.years[0]!.observed.estimate, outcome.slice(0, 10).reduce((a, b) => a + b) / 10);
  // by hand: a year's limits are its mean and Student's t (9 degrees of freedom: 2.262157) times s
  // / sqrt(n)
  const first = outcome.slice(0, 10);
  const mean = first.reduce((a, b) => a + b) / 10;
  const spread = Math.sqrt(first.reduce((sum, x) => sum + (x - mean) ** 2, 0) / 9);
  const { lower, upper } = trend.years[0]!.observed;
  assertClose(upper - mean, 2.2621571628 * spread / Math.sqrt(10), { relative: 1e-9, absolute: 0 });
  assertClose(mean - lower, upper - mean);
});

// By hand: one date, no slope to speak of: the step is the log odds ratio of a 2 x 2 table.
Deno.test("segmentedTrend() of a table: the step is its log odds ratio", () => {
  const time: number[] = [];
  const outcome: number[] = [];
  for (
    const [t, y, count] of [
      [1, 1, 10],
      [1, 0, 30],
      [2, 1, 10],
      [2, 0, 30],
      [3, 1, 24],
      [3, 0, 16],
      [4, 1, 24],
      [4, 0, 16],
    ] as const
  ) {
    for (let i = 0; i < count; i++) {
      time.push(t);
      outcome.push(y);
    }
  }
  const trend = segmentedTrend({ outcome, time }, { dates: [3] });
  assertClose(trend.slope.estimate, 0, { relative: 0, absolute: 1e-6 });
  assertClose(trend.changes[0]!.step.estimate, Math.log(24 * 30 / (16 * 10)), {
    relative: 1e-6,
    absolute: 0,
  });
  assertAllClose(trend.years.map(({ observed }) => observed.estimate), [0.25, 0.25, 0.6, 0.6]);
  assertAllClose(trend.years.map(({ events }) => events!), [10, 10, 24, 24]);
});

Deno.test("segmentedTrend() says what is wrong with its input", () => {
  const data = { outcome: [0, 1, 0, 1], time: [1, 2, 3, 4] };
  assert.throws(
    () => segmentedTrend(data, { dates: [3, 2] }),
    new DataError("dates", "ascending", 2, 1),
  );
  assert.throws(
    () => segmentedTrend(data, { dates: [9] }),
    new DataError("dates", "within the years of the operations", 9, 0),
  );
});

// Identities: limits are so many normal standard errors either side; a year's are Wilson's.
Deno.test("segmentedTrend() has limits of the confidence asked for", () => {
  const time = Array.from({ length: 120 }, (_, i) => 2010 + i % 6);
  const outcome = time.map((year, i) => (i * 7 + year) % 5 < 2 + Number(year > 2012) ? 1 : 0);
  const at = (confidence: number) =>
    segmentedTrend({ outcome, time }, { dates: [2013], confidence });
  const [usual, narrow] = [at(0.95), at(0.5)];
  for (const [trend, z] of [[usual, 1.959963984540054], [narrow, 0.6744897501960817]] as const) {
    for (const { estimate, standardError, lower, upper } of [trend.slope, trend.changes[0]!.step]) {
      assertClose(upper - estimate, z * standardError);
      assertClose(estimate - lower, z * standardError);
    }
    for (const { n, events, observed } of trend.years) {
      const own = proportionInterval(events!, n, { confidence: trend === usual ? 0.95 : 0.5 });
      assertClose(observed.lower, own.lower);
      assertClose(observed.upper, own.upper);
    }
  }
  // weights that are all alike are as good as none
  const weight = outcome.map(() => 2);
  segmentedTrend({ outcome, time, weight }, { dates: [2013], confidence: 0.5 }).years
    .forEach(({ observed }, k) => {
      assertClose(observed.lower, narrow.years[k]!.observed.lower);
      assertClose(observed.upper, narrow.years[k]!.observed.upper);
    });
  // drawn on the scale of log odds, where they are symmetric
  const logit = (p: number) => Math.log(p / (1 - p));
  const halfOf = ({ fitted }: typeof usual) => {
    const [lower, upper] = [fitted.lower[0]!, fitted.upper[0]!].map(logit);
    return (upper! - lower!) / 2;
  };
  assertClose(halfOf(usual) / halfOf(narrow), 1.959963984540054 / 0.6744897501960817, {
    relative: 1e-6,
    absolute: 0,
  });
});
