import assert from "node:assert/strict";
import fc from "fast-check";
import {
  DataError,
  eValue,
  poolImputations,
  powerForEvents,
  requiredEvents,
  requiredPatients,
  riskRatioFromHazardRatio,
  riskRatioFromOddsRatio,
  rosenbaumBounds,
  rosenbaumThreshold,
  signedRankBounds,
} from "mitral";
import { assertAllClose, assertClose } from "../close.ts";
import { numeric, referenceCase, referenceRows } from "../reference/load.ts";

// Reference unless said otherwise: see the source of the case named.

Deno.test("eValue() takes a limit that is the ratio itself, and none beyond it", () => {
  for (const ratio of [2, 0.5]) {
    const { estimate, limit } = eValue(ratio, ratio);
    assertClose(limit!, estimate);
    assertClose(estimate, 2 + Math.sqrt(2)); // by hand: RR + sqrt(RR (RR - 1))
  }
  assert.throws(() => eValue(2, 2.01), DataError);
  assert.throws(() => eValue(0.5, 0.49), DataError);
});

Deno.test("eValue() agrees with the paper and the reference", () => {
  const { expected, tolerance } = referenceCase("e-value");
  expected.riskRatios.rr.forEach((rr: number, i: number) =>
    assertClose(eValue(rr).estimate, expected.riskRatios.eValue[i], tolerance)
  );
  const { example, hazardRatioCommon: hazard, oddsRatioCommon: odds } = expected;
  const result = eValue(example.rr, example.lower);
  assertClose(result.estimate, example.eEstimate, tolerance);
  assertClose(result.limit!, example.eLimit, tolerance);
  const [estimate, lower, upper] = [hazard.hr, hazard.lower, hazard.upper]
    .map(riskRatioFromHazardRatio);
  assertAllClose([estimate!, lower!, upper!], hazard.rrApprox, tolerance);
  const common = eValue(estimate!, upper!);
  assertClose(common.estimate, hazard.eEstimate, tolerance);
  assertClose(common.limit!, hazard.eLimit, tolerance);
  assertClose(riskRatioFromOddsRatio(odds.or), odds.rrApprox, tolerance);
  assertClose(eValue(odds.rrApprox).estimate, odds.eEstimate, tolerance);
});

Deno.test("eValue() of an interval that includes 1 is 1, and protective ratios mirror", () => {
  assert.deepEqual(eValue(1), { estimate: 1 });
  assert.equal(eValue(1.5, 0.9).limit, 1);
  assert.equal(eValue(0.8, 1.1).limit, 1);
  fc.assert(fc.property(fc.double({ min: 1.01, max: 50, noNaN: true }), (rr) => {
    assertClose(eValue(1 / rr).estimate, eValue(rr).estimate);
    // by hand: the bias factor RR * RR / (RR + RR - 1) of two ties of that strength is the ratio
    const e = eValue(rr).estimate;
    assertClose(e * e / (2 * e - 1), rr);
    assertClose(riskRatioFromHazardRatio(rr) * riskRatioFromHazardRatio(1 / rr), 1);
  }));
  assert.throws(() => eValue(0), /riskRatio/);
});

// VanderWeele & Ding (2017): "the limit of the confidence interval closest to the null".
Deno.test("eValue() refuses the limit further from 1, whose E-value would exceed the estimate's", () => {
  assert.throws(() => eValue(0.8, 0.71), /limit must be the one nearer 1, at least the ratio 0.8/);
  assert.throws(() => eValue(1.5, 1.9), /limit must be the one nearer 1, at most the ratio 1.5/);
  assert.throws(() => eValue(1.5, 0), /limit/);
  assert.throws(() => eValue(1.5, NaN), /limit/);
  assert.equal(eValue(1, 0.7).limit, 1);
  assert.equal(eValue(1, 1.7).limit, 1);
  const ratio = fc.double({ min: 0.05, max: 20, noNaN: true });
  fc.assert(fc.property(ratio, ratio, (one, other) => {
    const nearer = one >= 1 ? other <= one : other >= one;
    if (!nearer) assert.throws(() => eValue(one, other), DataError);
    else assert.ok(eValue(one, other).limit! <= eValue(one, other).estimate + 1e-12);
  }));
});

Deno.test("requiredEvents() refuse a level that is a confidence, and power that chance has", () => {
  assert.throws(() => requiredEvents({ hazardRatio: 0.7, alpha: 0.95 }), /alpha must be above 0/);
  assert.throws(() => requiredEvents({ hazardRatio: 0.7, power: 0.01 }), /power must be above/);
  assert.throws(() => requiredEvents({ hazardRatio: 0.7, power: 80 }), /power/);
  assert.throws(() => requiredEvents({ hazardRatio: 1 }), /hazardRatio/);
  assert.throws(() => requiredEvents({ hazardRatio: 0.7, allocation: 50 }), /allocation/);
});

Deno.test("signedRankBounds() stay numbers at any gamma, and poolImputations() refuse variances below 0", () => {
  const bounds = signedRankBounds({ difference: [1, 2, 3], gamma: [1, 1e20] });
  assert.ok(bounds.upperP[1]! >= bounds.upperP[0]! && bounds.lowerP[1]! < 1e-6);
  assert.throws(() => signedRankBounds({ difference: [1], gamma: [0.9] }), /gamma\[0\]/);
  assert.throws(() => poolImputations({ estimates: [1, 2], variances: [1, -1] }), /variances\[1\]/);
});

Deno.test("rosenbaumBounds() agree with the reference for smoking and lung cancer", () => {
  const { expected, options, tolerance } = referenceCase("rosenbaum-mcnemar");
  const data = {
    discordantTreated: options.treatedEvents,
    discordantControl: options.discordant - options.treatedEvents,
  };
  const bounds = rosenbaumBounds({ ...data, gamma: expected.gamma });
  // the case's absolute tolerance would pass anything: tails are compared relatively
  const relative = { relative: tolerance.relative, absolute: 0 };
  assertAllClose(bounds.upperP, expected.upper, relative, "upper");
  assertAllClose(bounds.lowerP, expected.lower, relative, "lower");
  assertAllClose(bounds.upperNormal, expected.upperNormalContinuity, relative, "normal");
  const threshold = rosenbaumThreshold(data)!;
  assert.ok(threshold > 5 && threshold < 6);
  const at = rosenbaumBounds({ ...data, gamma: [threshold] });
  assertClose(at.upperP[0]!, 0.05);
  assert.equal(rosenbaumThreshold({ discordantTreated: 10, discordantControl: 10 }), null);
  assert.throws(() => rosenbaumBounds({ ...data, gamma: [0.5] }), /gamma\[0\]/);
});

Deno.test("signedRankBounds() agree with the reference on the sleep data", () => {
  const { expected, tolerance } = referenceCase("rosenbaum-signed-rank-sleep");
  const rows = referenceRows("sleep.csv");
  const first = numeric(rows, "drug1");
  const difference = numeric(rows, "drug2").map((value, i) => value - first[i]!);
  const bounds = signedRankBounds({ difference, gamma: expected.table.gamma });
  assert.equal(bounds.statistic, expected.T);
  assert.equal(bounds.used, expected.nNonZero);
  assertAllClose(bounds.upperP, expected.table.upper, tolerance);
  assertClose(bounds.lowerP[0]!, bounds.upperP[0]!);
  assert.throws(() => signedRankBounds({ difference: [0, 0], gamma: [1] }), DataError);
});

Deno.test("poolImputations() agree with the reference, with and without complete df", () => {
  const { expected, options, tolerance } = referenceCase("rubin-pooling");
  const { estimates, variances, dfcom } = options;
  const check = (
    pooled: ReturnType<typeof poolImputations>,
    want: Record<string, number>,
  ) => {
    assertClose(pooled.estimate, want.estimate!, tolerance);
    assertClose(pooled.standardError, want.se!, tolerance);
    assertClose(pooled.within, want.within!, tolerance);
    assertClose(pooled.between, want.between!, tolerance);
    assertClose(pooled.relativeIncrease, want.relativeIncrease!, tolerance);
    assertClose(pooled.degreesOfFreedom, want.df!, tolerance);
    assertClose(pooled.fractionMissing, want.fmi!, tolerance);
    assertClose(pooled.statistic, want.t!, tolerance);
    assertClose(pooled.pValue, want.p!, tolerance);
    assertClose(pooled.lower, want.lower!, tolerance);
    assertClose(pooled.upper, want.upper!, tolerance);
  };
  check(
    poolImputations({ estimates, variances, completeDegreesOfFreedom: dfcom }),
    expected.barnardRubin,
  );
  check(poolImputations({ estimates, variances }), expected.classicalInfiniteDfcom);
});

// By hand: estimates 1..5 with variance 1 have B = 2.5, T = 1 + 1.2 * 2.5 = 4, and Rubin's degrees
// of freedom 4 / (3/4)^2 = 7.11.
Deno.test("poolImputations() by hand, and without variance between", () => {
  const pooled = poolImputations({ estimates: [1, 2, 3, 4, 5], variances: [1, 1, 1, 1, 1] });
  assertClose(pooled.estimate, 3);
  assertClose(pooled.standardError, 2);
  assertClose(pooled.degreesOfFreedom, 64 / 9);
  const same = poolImputations({ estimates: [1, 1], variances: [4, 4] });
  assert.equal(same.degreesOfFreedom, Infinity);
  assertClose(same.upper, 1 + 2 * 1.959963984540054);
  assert.equal(same.fractionMissing, 0);
  assert.throws(() => poolImputations({ estimates: [1], variances: [1] }), /at least two/);
});

Deno.test("requiredEvents() agree with the reference", () => {
  const { expected, tolerance } = referenceCase("schoenfeld-events");
  const { table } = expected;
  table.hr.forEach((hazardRatio: number, i: number) => {
    const plan = {
      hazardRatio,
      alpha: table.alpha[i],
      power: table.power[i],
      allocation: table.proportion1[i],
    };
    assert.equal(requiredEvents(plan), table.events[i]);
    // identity: the exact number of events has exactly the power asked for
    assertClose(
      powerForEvents({ ...plan, events: table.eventsExact[i] }),
      table.power[i],
      tolerance,
    );
  });
  assertClose(
    powerForEvents({ hazardRatio: 0.7, events: 200 }),
    expected.powerFor200EventsHr07,
    tolerance,
  );
  assert.equal(
    requiredPatients({ hazardRatio: 0.7, eventProbability: 0.4 }),
    expected.sampleSizeHr07Power80EventProb04,
  );
  assert.throws(() => requiredEvents({ hazardRatio: 1 }), /other than 1/);
});
