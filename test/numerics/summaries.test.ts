import { deepEqual, equal, ok } from "node:assert/strict";
import {
  correlationOf,
  covarianceOf,
  meanOf,
  momentsOf,
  quantileOfSorted,
  quartilesOf,
  sampleSpreadOf,
  SeededRandom,
  spreadOf,
} from "../../lib/numerics/mod.ts";

// Summaries come from simple-statistics 7.12.1 and jstat 1.9.6; here they are held against sums by
// hand and against the library's own weighted moments and order statistics.

const close = (a: number, b: number, digits = 1e-14) =>
  ok(Math.abs(a - b) <= digits * Math.max(Math.abs(a), Math.abs(b)), `${a} and ${b}`);

Deno.test("summaries of a small sample are those worked out by hand", () => {
  // by hand: 1, 2, 4, 9 have mean 4, squares 9 + 4 + 0 + 25 = 38
  const x = [4, 1, 9, 2];
  equal(meanOf(x), 4);
  close(spreadOf(x), Math.sqrt(38 / 4));
  close(sampleSpreadOf(x), Math.sqrt(38 / 3));
  // by hand: with y = 2x the covariance is twice the variance
  const y = x.map((value) => 2 * value);
  close(covarianceOf(x, y), 2 * 38 / 3);
  close(correlationOf(x, y), 1);
  // by hand, type 7: places 0.75, 1.5 and 2.25 of 1, 2, 4, 9
  deepEqual(quartilesOf(x), { lower: 1.75, median: 3, upper: 5.25 });
  deepEqual(x, [4, 1, 9, 2]);
});

Deno.test("summaries of one value and of nothing", () => {
  deepEqual(quartilesOf([7]), { lower: 7, median: 7, upper: 7 });
  deepEqual(quartilesOf([]), { lower: NaN, median: NaN, upper: NaN });
  deepEqual([meanOf([7]), spreadOf([7]), sampleSpreadOf([7])], [7, 0, NaN]);
  deepEqual([meanOf([]), spreadOf([]), covarianceOf([1], [1]), correlationOf([], [])], [
    NaN,
    NaN,
    NaN,
    NaN,
  ]);
});

Deno.test("summaries lose no digits beside a large mean", () => {
  // by hand: the spread of 1, 2, 4, 9 is not changed by what is added to all
  close(spreadOf([1, 2, 4, 9].map((value) => value + 2 ** 40)), Math.sqrt(38 / 4), 1e-12);
});

Deno.test("summaries agree with weighted moments and order statistics on invented columns", () => {
  const random = new SeededRandom(20);
  for (const n of [2, 3, 10, 1001]) {
    const values = Float64Array.from({ length: n }, () => 60 + 12 * random.normal());
    const { mean, variance } = momentsOf(values);
    close(meanOf(values), mean);
    close(sampleSpreadOf(values), Math.sqrt(variance), 1e-12);
    const { lower, median, upper } = quartilesOf(values);
    const sorted = values.toSorted();
    [lower, median, upper].forEach((value, k) => {
      close(value, quantileOfSorted(sorted, (k + 1) / 4));
    });
  }
});
