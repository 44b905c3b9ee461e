import assert from "node:assert/strict";
import fc from "fast-check";
import { doublyRobustSurvival, standardizedSurvival } from "mitral";
import { augmentation } from "../../../lib/survival/standardized/augmentation.ts";
import {
  type ConditionalHazard,
  conditionalHazard,
} from "../../../lib/survival/standardized/conditional-hazard.ts";
import { standardizedBothWays } from "../../../lib/survival/standardized/mod.ts";
import { riskNodes } from "../../../lib/survival/standardized/risk-nodes.ts";
import { type FollowUpColumns, followUpColumns } from "../../../lib/numerics/mod.ts";
import { invented } from "./invented.ts";

/**
 * The plain definition, row by row and event time by event time: survival predicted at t, residual,
 * and the derivatives of sum of h predicted + sum of w residual in each increment, each coefficient
 * and each censoring increment.
 */
function plain(
  { n, time, event }: FollowUpColumns,
  hazard: ConditionalHazard,
  censoring: ConditionalHazard,
  { t, h, w }: { t: number; h: Float64Array; w: Float64Array },
) {
  const places = hazard.time.filter((u) => u <= t).length;
  const earlier = Array.from(
    { length: places },
    (_, u) => censoring.time.filter((c) => c < hazard.time[u]!).length,
  );
  const followed = earlier.map((c) =>
    Math.exp(-censoring.increment.subarray(0, c).reduce((sum, one) => sum + one, 0))
  );
  const predicted = new Float64Array(n);
  const residual = new Float64Array(n);
  const increment = new Float64Array(places);
  const coefficient = new Float64Array(hazard.columns.length);
  const toCensoring = new Float64Array(earlier.at(-1) ?? 0);
  const inGroup = new Set(hazard.rows);
  for (let i = 0; i < n; i++) {
    const r = hazard.risk[i]!;
    const left = Array.from(hazard.increment.subarray(0, places), (d) => Math.max(0, 1 - d * r));
    predicted[i] = left.reduce((product, one) => product * one, 1);
    const slope = new Float64Array(places); // derivative in each increment
    if (predicted[i]! > 0) {
      for (let u = 0; u < places; u++) slope[u]! -= h[i]! * predicted[i]! * r / left[u]!;
    }
    if (inGroup.has(i)) {
      let sum = 0;
      for (let u = 0; u < places && hazard.time[u]! <= time[i]!; u++) {
        const after = left.slice(u + 1).reduce((product, one) => product * one, 1);
        const happened = event[i] === 1 && hazard.time[u] === time[i] ? 1 : 0;
        const part = after * (1 - left[u]! - happened) / followed[u]!;
        sum += part;
        slope[u]! += w[i]! * after / followed[u]! * r;
        // what came before counts through the survival since
        for (let v = u + 1; v < places; v++) {
          if (left[v]! > 0) slope[v]! -= w[i]! * part * r / left[v]!;
        }
        for (let c = 0; c < earlier[u]!; c++) toCensoring[c]! += w[i]! * part;
      }
      residual[i] = sum;
    }
    let exposed = 0;
    for (let u = 0; u < places; u++) {
      increment[u]! += slope[u]!;
      exposed += slope[u]! * hazard.increment[u]!;
    }
    hazard.columns.forEach((x, j) => coefficient[j]! += exposed * x[i]!);
  }
  return { predicted, residual, increment, coefficient, toCensoring };
}

/** Largest difference, over the largest value where that is above 1. */
function apart(found: ArrayLike<number>, plain: ArrayLike<number>): number {
  assert.equal(found.length, plain.length);
  let [most, difference] = [1, 0];
  for (let i = 0; i < plain.length; i++) {
    most = Math.max(most, Math.abs(plain[i]!));
    difference = Math.max(difference, Math.abs(found[i]! - plain[i]!));
  }
  return difference / most;
}

Deno.test("rows of like risk together give what the plain definition gives row by row", () => {
  let ranged = 0;
  const cohorts = fc.record({
    seed: fc.integer({ min: 1, max: 1e6 }),
    n: fc.integer({ min: 60, max: 400 }),
    ties: fc.boolean(),
    t: fc.double({ min: 0.1, max: 12, noNaN: true }),
    code: fc.constantFrom(0 as const, 1 as const),
  });
  fc.assert(
    fc.property(cohorts, ({ seed, n, ties, t, code }) => {
      const { time, event, treated, covariates } = invented(seed, n, { ties });
      const follow = followUpColumns({ time, event });
      const rows = Int32Array.from(treated.keys().filter((i) => treated[i] === code));
      if (rows.length < 10) return;
      const given = new Map(Object.entries(covariates));
      const hazard = conditionalHazard(follow, { of: "event", rows, covariates: given });
      const censoring = conditionalHazard(follow, {
        of: "censoring",
        rows,
        covariates: new Map(),
      });
      const h = covariates.x.map((x) => Math.exp(-x * x) / n);
      const w = covariates.z.map((z, i) => treated[i] === code ? (1 + z * z) / n : 0);
      const found = augmentation(follow, hazard, censoring, t);
      const gradients = found.gradients(h, w);
      const expected = plain(follow, hazard, censoring, { t, h, w });
      const places = expected.increment.length;
      ranged += riskNodes(hazard, places).ranges.length;
      // rounding: sums of some hundreds of products of some hundreds of factors
      const near = 1e-11;
      assert.ok(apart(found.predicted, expected.predicted) < near);
      assert.ok(apart(found.residual, expected.residual) < near);
      assert.ok(apart(gradients.event.increment, expected.increment) < near);
      assert.ok(apart(gradients.event.coefficient, expected.coefficient) < near);
      assert.ok(apart(gradients.censoring.increment, expected.toCensoring) < near);
    }),
    { numRuns: 60 },
  );
  assert.ok(ranged > 30, `only ${ranged} ranges: hardly any row was taken together with others`);
});

Deno.test("a range's rows share its nodes in all once; risks that increments come near to stand alone", () => {
  const risk = Float64Array.from({ length: 400 }, (_, i) => i / 100);
  const { ranges, alone } = riskNodes({ risk, increment: Float64Array.of(0.05, 0.2) }, 2);
  // 0.2 times a risk above 2.5 is above a half
  assert.ok(ranges.every(({ rows }) => rows.every((row) => risk[row]! <= 2.5)));
  assert.equal(alone.length + ranges.reduce((sum, { rows }) => sum + rows.length, 0), 400);
  for (const { nodes, rows, share } of ranges) {
    rows.forEach((row, k) => {
      const own = share.subarray(k * nodes.length, (k + 1) * nodes.length);
      assert.ok(Math.abs(own.reduce((sum, one) => sum + one, 0) - 1) < 1e-13);
      // and what they make of the nodes' own risks is the row's
      const made = own.reduce((sum, one, c) => sum + one * nodes[c]!, 0);
      assert.ok(Math.abs(made - risk[row]!) < 1e-13);
    });
  }
});

Deno.test("without any event time every risk is in one range, or alone", () => {
  const { ranges, alone } = riskNodes({
    risk: Float64Array.of(0.5, 1, 2),
    increment: new Float64Array(0),
  }, 0);
  assert.deepEqual([ranges.length, [...alone]], [0, [0, 1, 2]]);
});

Deno.test("standardizedBothWays() says what the two methods say by themselves", () => {
  const data = invented(5, 300);
  const target = data.covariates.x.map((x) => Math.exp(-x * x));
  const options = { times: [2, 6], confidence: 0.9 };
  const { standardized, doublyRobust } = standardizedBothWays(
    { ...data, target },
    { ...options, population: "overlap" },
  );
  assert.deepEqual(standardized, standardizedSurvival({ ...data, target }, options));
  assert.deepEqual(
    doublyRobust,
    doublyRobustSurvival(data, {
      ...options,
      population: "overlap",
      models: { censoring: [] },
    }),
  );
});
