import assert from "node:assert/strict";
import { DataError } from "../../../lib/numerics/columns/errors.ts";
import type { CoxFit } from "../../../lib/survival/cox/model/fit.ts";
import { coxRegression } from "../../../lib/survival/cox/model/cox-regression.ts";
import { assertAllClose, assertClose, type Tolerance } from "../../close.ts";
import { referenceCase } from "../../reference/load.ts";
import { models } from "./cox-cases.ts";

// deno-lint-ignore no-explicit-any -- the case's own shape
function assertPrediction(fit: CoxFit, expected: any, tolerance: Tolerance): void {
  const names = fit.terms.map((term) => term.name);
  const profiles: number = expected.survival.length;
  for (let i = 0; i < profiles; i++) {
    const profile = Object.fromEntries(names.map((name) => [name, expected.newdata[name][i]]));
    const predicted = fit.survivalFor(profile, expected.times);
    assertAllClose(predicted.survival, expected.survival[i], tolerance, "survival");
    assertAllClose(predicted.standardError, expected.seSurvival[i], tolerance, "se");
    assertAllClose(predicted.lower, expected.logLower[i], tolerance, "lower");
    assertAllClose(predicted.upper, expected.logUpper[i], tolerance, "upper");
    const hazard = predicted.survival.map((s) => -Math.log(s));
    assertAllClose(hazard, expected.cumulativeHazard[i], tolerance, "cumulative hazard");
  }
}

Deno.test("survivalFor() matches reference case cox-prediction-freireich-wbc", () => {
  const { expected, tolerance } = referenceCase("cox-prediction-freireich-wbc");
  for (const ties of ["efron", "breslow"] as const) {
    assertPrediction(coxRegression(models.wbc(), { ties }), expected[ties], tolerance);
  }
});

Deno.test("survivalFor() matches reference case cox-prediction-lung", () => {
  const { expected, tolerance } = referenceCase("cox-prediction-lung");
  for (const ties of ["efron", "breslow"] as const) {
    assertPrediction(coxRegression(models.lung(), { ties }), expected[ties], tolerance);
  }
});

Deno.test("survivalFor() matches reference case cox-prediction-pbc", () => {
  const { expected, tolerance } = referenceCase("cox-prediction-pbc");
  assertPrediction(coxRegression(models.pbc()), expected, tolerance);
});

// Reference: R 4.2.2, survival 3.5-3, summary(survfit(fit, newdata), times = ...) with
// coxph.control(eps = 1e-14); 12 digits printed.
const twelve = { relative: 1e-10, absolute: 1e-12 };

Deno.test("survivalFor() matches the reference library within a stratum", () => {
  const fit = coxRegression(models.stratifiedVeteran());
  const out = fit.survivalFor({ test: 1, karno: 60 }, [50, 100, 200], { stratum: "large" });
  assertAllClose(out.survival, [0.782832668627, 0.620381129897, 0.186673444946], twelve);
  assertAllClose(out.standardError, [0.088235712812, 0.1124545830773, 0.0899404496774], twelve);
  assertAllClose(out.lower, [0.6276638863928, 0.4348744460664, 0.0726052859614], twelve);
  assertAllClose(out.upper, [0.976361712623, 0.885020377291, 0.479950937271], twelve);
});

Deno.test("survivalFor() matches the reference library with delayed entry", () => {
  const profile = { age: 0, year: 3, surgery: 0, transplant: 1 };
  const out = coxRegression(models.heart()).survivalFor(profile, [50, 100, 500]);
  assertAllClose(out.survival, [0.63846938053, 0.431308418905, 0.245737511305], twelve);
  assertAllClose(out.standardError, [0.0791182514935, 0.0757473760558, 0.0598232467472], twelve);
});

Deno.test("survivalFor() matches the reference library with weights and with clusters", () => {
  const weighted = coxRegression(models.weightedLung("female", "age", "phEcog"));
  const out = weighted.survivalFor({ female: 1, age: 60, phEcog: 1 }, [100, 365]);
  assertAllClose(out.survival, [0.907918500802, 0.502576107524], twelve);
  assertAllClose(out.standardError, [0.0178246497859, 0.0540726105864], twelve);
  const clustered = coxRegression(models.lung("inst"));
  const there = clustered.survivalFor({ age: 60, sex: 1, "ph.ecog": 1 }, [100, 365]);
  assertAllClose(there.standardError, [0.0261582460458, 0.0405863383992], twelve);
});

// By hand: no covariate effect to speak of, Breslow: H = 1/4 + 1/2, a step at each event time.
Deno.test("baselineHazard() has a row for each observed time, at the covariate means", () => {
  const data = { time: [1, 2, 3, 4], event: [1, 0, 1, 0], covariates: { x: [0, 1, 1, 0] } };
  const fit = coxRegression(data, { ties: "breslow" });
  const r = fit.terms[0]!.hazardRatio ** 0.5; // x is 1/2 from its mean
  const { time, cumulativeHazard } = fit.baselineHazard();
  assert.deepEqual([...time], [1, 2, 3, 4]);
  const first = 1 / (2 * r + 2 / r);
  const second = first + 1 / (r + 1 / r);
  assertAllClose(cumulativeHazard, [first, first, second, second]);
});

Deno.test("survivalFor() at the means is exp(-baselineHazard)", () => {
  const fit = coxRegression(models.pbc());
  const { time, cumulativeHazard } = fit.baselineHazard();
  const { survival } = fit.survivalFor(fit.means, time);
  assertAllClose(survival, cumulativeHazard.map((h) => Math.exp(-h)), twelve);
  assert.ok(time.length > 300);
});

Deno.test("baselineHazard() labels strata", () => {
  const fit = coxRegression(models.stratifiedVeteran());
  const { time, stratum } = fit.baselineHazard();
  // Reference: the rows of basehaz(fit), counted by stratum.
  const count = (label: string) => stratum!.filter((each) => each === label).length;
  assert.deepEqual(
    ["adeno", "large", "smallcell", "squamous"].map(count),
    [26, 27, 39, 33],
  );
  assert.equal(time.length, stratum!.length);
});

// By hand: a stratum's last time is its own, also where the next stratum begins at it or where
// several are tied at it.
Deno.test("baselineHazard() ends each stratum at its own last time", () => {
  const fit = coxRegression({
    time: [1, 2, 2, 2, 3, 5, 5],
    event: [1, 1, 0, 1, 1, 1, 0],
    covariates: { x: [0, 1, 0, 1, 0, 0, 1] },
    stratum: ["a", "a", "a", "b", "b", "b", "b"],
  }, { ties: "breslow" });
  const { time, stratum, cumulativeHazard } = fit.baselineHazard();
  assert.deepEqual([...time], [1, 2, 2, 3, 5]);
  assert.deepEqual(stratum, ["a", "a", "b", "b", "b"]);
  const r = fit.terms[0]!.hazardRatio;
  const centre = r ** fit.means.x!;
  assertAllClose(cumulativeHazard, [
    centre / (2 + r),
    centre * (1 / (2 + r) + 1 / (1 + r)),
    centre / (2 + 2 * r),
    centre * (1 / (2 + 2 * r) + 1 / (2 + r)),
    centre * (1 / (2 + 2 * r) + 1 / (2 + r) + 1 / (1 + r)),
  ]);
});

Deno.test("survivalFor() is 1 with no error before the first event, and NaN past the last time", () => {
  const fit = coxRegression({
    time: [2, 3, 4, 5],
    event: [1, 1, 1, 0],
    covariates: { x: [0, 1, 0, 1] },
  });
  const out = fit.survivalFor({ x: 1 }, [6, 1, 0]);
  assertAllClose(out.survival, [NaN, 1, 1]);
  assertAllClose(out.standardError, [NaN, 0, 0]);
  assertAllClose(out.lower, [NaN, 1, 1]);
  assertAllClose(out.upper, [NaN, 1, 1]);
});

Deno.test("survivalFor() names what is missing, unknown or not a number", () => {
  const fit = coxRegression(models.lung());
  assert.throws(() => fit.survivalFor({ age: 50, sex: 1 }, [1]), /covariates\.ph\.ecog/);
  assert.throws(
    () => fit.survivalFor({ age: 50, sex: 1, "ph.ecog": 0, weight: 3 }, [1]),
    /covariates\.weight/,
  );
  assert.throws(() => fit.survivalFor({ age: NaN, sex: 1, "ph.ecog": 0 }, [1]), DataError);
  assert.throws(() => fit.survivalFor({ age: 50, sex: 1, "ph.ecog": 0 }, [-1]), DataError);
  const stratified = coxRegression(models.stratifiedVeteran());
  assert.throws(() => stratified.survivalFor({ test: 1, karno: 60 }, [1]), /stratum/);
});

// Identity: higher confidence, wider limits; the estimate lies within.
Deno.test("survivalFor() widens its limits with the confidence asked for", () => {
  const fit = coxRegression(models.lung());
  const profile = { age: 60, sex: 1, "ph.ecog": 1 };
  const usual = fit.survivalFor(profile, [300]);
  const wide = fit.survivalFor(profile, [300], { confidence: 0.99 });
  assert.ok(wide.lower[0]! < usual.lower[0]! && usual.lower[0]! < usual.survival[0]!);
  assert.ok(wide.upper[0]! > usual.upper[0]! && usual.upper[0]! > usual.survival[0]!);
  assertClose(wide.survival[0]!, usual.survival[0]!);
});
