import assert from "node:assert/strict";
import { DataError, kaplanMeierByGroup, landmark, logRank, restrictedMeanDifference } from "mitral";
import { assertAllClose, assertClose } from "../../close.ts";
import { numeric, referenceCase, referenceRows } from "../../reference/load.ts";

type Close = { relative: number; absolute: number };
type Data = Parameters<typeof logRank>[0];

// deno-lint-ignore no-explicit-any -- expected values as they are in the case
function checkCurves(data: Data, expected: any, tolerance: Close) {
  for (const { group, curve } of kaplanMeierByGroup(data)) {
    const { n, events, table, quantiles } = expected[group];
    assert.deepEqual([curve.n, curve.events], [n, events]);
    const seen = curve.at(table.time);
    assertAllClose(seen.survival, table.survival, tolerance);
    assertAllClose(seen.standardError, table.seGreenwood, tolerance);
    assertAllClose(seen.atRisk, table.nRisk, tolerance);
    assertAllClose(seen.lower, table.loglogLower, tolerance);
    quantiles.p.forEach((p: number, i: number) => {
      assertClose(curve.quantile(p).estimate, quantiles.estimate[i], tolerance);
      assertClose(curve.quantile(p).upper, quantiles.loglogUpper[i], tolerance);
    });
  }
}

// deno-lint-ignore no-explicit-any -- as above
function checkTest(data: Data, expected: any, tolerance: Close) {
  const test = logRank(data);
  assertAllClose(test.groups.map((g) => g.observed), expected.observedWeighted, tolerance);
  assertAllClose(test.groups.map((g) => g.expected), expected.expectedWeighted, tolerance);
  assertClose(test.statistic, expected.chisq, tolerance);
  assertClose(test.pValue, expected.p, tolerance);
}

Deno.test("landmark() matches reference case landmark-veteran", () => {
  const { data, expected, tolerance, options } = referenceCase("landmark-veteran");
  const rows = referenceRows(data!);
  const view = landmark(
    { time: numeric(rows, "time"), event: numeric(rows, "status") },
    options.landmark,
  );
  assert.equal(view.kept.length, expected.nKept);
  assert.equal(view.leftOut.length, expected.nDropped);
  const kept = { ...view.data, group: view.select(rows.map((row) => row.trt!)) };
  checkCurves(kept, expected.km, tolerance);
  checkTest(kept, expected.logrank, tolerance);
});

Deno.test("landmark() matches reference case landmark-jasa", () => {
  const { data, expected, tolerance, options } = referenceCase("landmark-jasa");
  const rows = referenceRows(data!);
  const view = landmark(
    { time: numeric(rows, "futime"), event: numeric(rows, "fustat") },
    options.landmark,
  );
  const early = rows.map((row) => row.transplant === "1" && Number(row.waitTime) <= 30 ? "1" : "0");
  const kept = { ...view.data, group: view.select(early) };
  checkCurves(kept, expected.km, tolerance);
  checkTest(kept, expected.logrank, tolerance);
});

Deno.test("landmark() matches reference case landmark-lung", () => {
  const { data, expected, tolerance, options } = referenceCase("landmark-lung");
  const rows = referenceRows(data!).filter((row) =>
    row["ph.ecog"] !== "" && row["ph.ecog"] !== "NA"
  );
  const view = landmark(
    { time: numeric(rows, "time"), event: numeric(rows, "status") },
    options.landmark,
  );
  assert.equal(view.kept.length, expected.nKept);
  const high = rows.map((row) => Number(row["ph.ecog"]) >= 2 ? "1" : "0");
  const kept = { ...view.data, group: view.select(high) };
  checkTest(kept, expected.logrank, tolerance);
  const { groups, difference } = restrictedMeanDifference(kept, { horizon: 365 });
  for (const found of groups) {
    assertClose(found.estimate, expected.rmst365[found.group].rmst, tolerance);
    assertClose(found.standardError, expected.rmst365[found.group].se, tolerance);
  }
  assertClose(difference.estimate, expected.rmst365.difference.estimate, tolerance);
  assertClose(difference.pValue, expected.rmst365.difference.p, tolerance);
});

// By hand.
Deno.test("landmark() lists who is left out and why, with delayed entry and causes", () => {
  const view = landmark({
    time: [1, 2, 2, 3, 4, 5, 2 + 1e-12],
    event: [1, 0, 2, 1, 0, 2, 1],
    entry: [0, 0, 0, 1, 2, 3, 0],
    weight: [1, 2, 3, 4, 5, 6, 7],
  }, 2);
  assert.deepEqual([...view.kept], [3]);
  assert.deepEqual([...view.data.time], [1]);
  assert.deepEqual([...view.data.weight!], [4]);
  assert.deepEqual(view.leftOut, [
    { index: 0, reason: "event by the landmark" },
    { index: 1, reason: "censored by the landmark" },
    { index: 2, reason: "event by the landmark" },
    { index: 4, reason: "entered later" },
    { index: 5, reason: "entered later" },
    { index: 6, reason: "event by the landmark" },
  ]);
  assert.deepEqual(view.counts, {
    "event by the landmark": 3,
    "censored by the landmark": 1,
    "entered later": 2,
  });
  assert.deepEqual(view.select(["a", "b", "c", "d", "e", "f", "g"]), ["d"]);
});

Deno.test("landmark() refuses a time at which nobody is at risk", () => {
  const data = { time: [1, 2], event: [1, 0] };
  for (const at of [2, 3, -1, NaN, Infinity]) {
    assert.throws(
      () => landmark(data, at),
      (error: unknown) => error instanceof DataError && error.argument === "at",
    );
  }
  assert.equal(landmark(data, 0).kept.length, 2);
});
