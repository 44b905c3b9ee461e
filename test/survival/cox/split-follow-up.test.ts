import assert from "node:assert/strict";
import { DataError } from "../../../lib/numerics/columns/errors.ts";
import { SeededRandom } from "../../../lib/numerics/replicates/random.ts";
import { coxRegression } from "../../../lib/survival/cox/model/cox-regression.ts";
import { periodHazardRatios } from "../../../lib/survival/cox/checks/period-hazard-ratios.ts";
import { splitFollowUp } from "../../../lib/survival/cox/rows/split-follow-up.ts";
import { assertAllClose, assertClose } from "../../close.ts";
import { models } from "./cox-cases.ts";

// By hand.
Deno.test("splitFollowUp() cuts rows at the times given, an event at a cut ending its period", () => {
  const out = splitFollowUp(
    {
      time: [5, 2, 1, 3],
      event: [1, 1, 0, 0],
      entry: [0, 0, 0.5, 2],
      covariates: { x: [7, 8, 9, 6] },
    },
    [1, 2],
  );
  assert.deepEqual([...out.row], [0, 0, 0, 1, 1, 2, 3]);
  assert.deepEqual([...out.entry], [0, 1, 2, 0, 1, 0.5, 2]);
  assert.deepEqual([...out.time], [1, 2, 5, 1, 2, 1, 3]);
  assert.deepEqual([...out.event], [0, 0, 1, 0, 1, 0, 0]);
  assert.deepEqual([...out.period], [0, 1, 2, 0, 1, 0, 2]);
  assert.deepEqual([...out.covariates.x!], [7, 7, 7, 8, 8, 9, 6]);
});

Deno.test("splitFollowUp() keeps time at risk, events and those who die at time 0", () => {
  const data = { time: [0, 4, 2], event: [1, 0, 1], weight: [1, 2, 3] };
  const out = splitFollowUp(data, [1, 3]);
  assert.deepEqual([...out.entry], [-1, -1, 1, 3, -1, 1]);
  assert.equal(out.event.reduce((sum, event) => sum + event, 0), 2);
  assert.deepEqual([...out.weight!], [1, 2, 2, 2, 3, 3]);
});

Deno.test("splitFollowUp() does not cut a sliver off at a near-tie", () => {
  const out = splitFollowUp({ time: [1 + 1e-13, 30], event: [1, 0] }, [1]);
  assert.deepEqual([...out.row], [0, 1, 1]);
  assert.deepEqual([...out.period], [0, 0, 1]);
});

Deno.test("splitFollowUp() names cuts that do not ascend or are not positive", () => {
  const data = { time: [1, 2], event: [1, 0] };
  assert.throws(() => splitFollowUp(data, [2, 1]), /cuts\[1\]/);
  assert.throws(() => splitFollowUp(data, [0]), /cuts\[0\]/);
  assert.throws(() => splitFollowUp({ ...data, entry: [1, 0] }, [1]), DataError);
});

// Identity: with no follow-up shared between periods the periods are separate fits.
Deno.test("periodHazardRatios() equals separate fits of each period", () => {
  const data = models.veteran();
  const { test } = data.covariates;
  const { periods, fit } = periodHazardRatios(
    { ...data, covariates: { test: test! } },
    { covariate: "test", cuts: [60, 120] },
  );
  const pieces = splitFollowUp({ ...data, covariates: { test: test! } }, [60, 120]);
  for (const [k, period] of periods.entries()) {
    const keep = Array.from(pieces.period.keys()).filter((i) => pieces.period[i] === k);
    const of = (column: ArrayLike<number>) => keep.map((i) => column[i]!);
    const alone = coxRegression({
      time: of(pieces.time),
      event: of(pieces.event),
      entry: of(pieces.entry),
      covariates: { test: of(pieces.covariates.test!) },
    });
    assertClose(period.coefficient, alone.terms[0]!.coefficient);
    assertClose(period.standardError, alone.terms[0]!.standardError);
    assert.equal(period.events, alone.events);
  }
  assert.deepEqual(periods.map(({ from, to }) => [from, to]), [[0, 60], [60, 120], [
    120,
    Infinity,
  ]]);
  assert.equal(fit.events, 128);
});

// Simulated: log hazard ratio 1 before time 1 and -1 after it; within four standard errors.
Deno.test("periodHazardRatios() finds a hazard ratio that changes", () => {
  const random = new SeededRandom(11);
  const n = 4000;
  const treated = Array.from({ length: n }, (_, i) => i % 2);
  const time = treated.map((arm) => {
    const early = random.exponential(0.3 * Math.exp(arm));
    return early <= 1 ? early : 1 + random.exponential(0.3 * Math.exp(-arm));
  });
  const data = {
    time: time.map((t) => Math.min(t, 5)),
    event: time.map((t) => +(t <= 5)),
    covariates: { treated },
  };
  const { periods, equality } = periodHazardRatios(data, { covariate: "treated", cuts: [1] });
  for (const [k, truth] of [1, -1].entries()) {
    const { coefficient, standardError } = periods[k]!;
    assert.ok(Math.abs(coefficient - truth) < 4 * standardError, `${coefficient}`);
  }
  assert.ok(equality.pValue < 1e-20);
  assert.equal(equality.degreesOfFreedom, 1);
  // Weights call for clusters of the rows that were split: unit weights give the same estimates.
  const weighted = periodHazardRatios(
    { ...data, weight: treated.map(() => 1) },
    { covariate: "treated", cuts: [1] },
  );
  assertAllClose(
    weighted.periods.map((period) => period.coefficient),
    periods.map((period) => period.coefficient),
  );
  assert.ok(weighted.periods[0]!.robustStandardError! > 0);
});

Deno.test("periodHazardRatios() names a covariate that is not there", () => {
  assert.throws(
    () => periodHazardRatios(models.lung(), { covariate: "treated", cuts: [1] }),
    DataError,
  );
});
