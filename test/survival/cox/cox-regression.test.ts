import assert from "node:assert/strict";
import { coxRegression } from "../../../lib/survival/cox/model/cox-regression.ts";
import type { TieRule } from "../../../lib/survival/cox/model/fit.ts";
import { assertClose } from "../../close.ts";
import { numeric, referenceCase, referenceRows } from "../../reference/load.ts";
import { assertFit, coxData, models } from "./cox-cases.ts";

const printed = (digits: number) => ({ relative: 0, absolute: 0.5 * 10 ** -digits });

// Published: Freireich et al. (1963), 6-MP against placebo; Breslow as in Kleinbaum & Klein, Efron
// and exact as reprinted in several texts (all from memory; the reference library agrees).
for (
  const [ties, coefficient] of [["breslow", 1.5092], ["efron", 1.5721], ["exact", 1.6282]] as const
) {
  Deno.test(`coxRegression() gives the published 6-MP coefficient, ${ties} ties`, () => {
    const fit = coxRegression(models.freireich(), { ties });
    assertClose(fit.terms[0]!.coefficient, coefficient, printed(4));
    assert.equal(fit.converged, true);
  });
}

// By hand: Therneau & Grambsch (2000), appendix, test data 1. Breslow: the score is 0 where
// 6 + 3r - r^2 = 0, r = exp(b). Efron: the value is from the same appendix, from memory.
const first = {
  time: [9, 1, 1, 6, 6, 8],
  event: [1, 1, 0, 1, 1, 0],
  covariates: { x: [0, 1, 1, 1, 0, 0] },
};
Deno.test("coxRegression() matches the closed form of test data 1", () => {
  const breslow = coxRegression(first, { ties: "breslow" }).terms[0]!.coefficient;
  assertClose(breslow, Math.log((3 + Math.sqrt(33)) / 2), { relative: 1e-10, absolute: 0 });
  assertClose(coxRegression(first).terms[0]!.coefficient, 1.676857, printed(6));
});

// Source: same appendix, test data 2 (counting process) and 3 (weights); values from memory, and
// recomputed with the reference library (survival 3.5-3).
Deno.test("coxRegression() matches the ten rows of test data 2, entries after zero", () => {
  const data = {
    entry: [1, 2, 5, 2, 1, 7, 3, 4, 8, 8],
    time: [2, 3, 6, 7, 8, 9, 9, 9, 14, 17],
    event: [1, 1, 1, 1, 1, 1, 1, 0, 0, 0],
    covariates: { x: [1, 0, 0, 1, 0, 1, 1, 1, 0, 0] },
  };
  const breslow = coxRegression(data, { ties: "breslow" });
  assertClose(breslow.terms[0]!.coefficient, -0.084526, printed(6));
  assertClose(coxRegression(data).terms[0]!.coefficient, -0.021105, printed(6));
});

Deno.test("coxRegression() matches the nine weighted rows of test data 3", () => {
  const data = {
    time: [1, 1, 2, 2, 2, 2, 3, 4, 5],
    event: [1, 0, 1, 1, 1, 0, 0, 1, 0],
    covariates: { x: [2, 0, 1, 1, 0, 1, 0, 1, 0] },
    weight: [1, 2, 3, 4, 3, 2, 1, 2, 1],
  };
  const breslow = coxRegression(data, { ties: "breslow" });
  assertClose(breslow.terms[0]!.coefficient, 0.859557, printed(6));
  assertClose(breslow.covariance[0]!, 0.508503, printed(6));
  const efron = coxRegression(data);
  assertClose(efron.terms[0]!.coefficient, 0.872604, printed(6));
  assertClose(efron.covariance[0]!, 0.507757, printed(6));
});

// Published (from memory, recomputed with survival 3.5-3): Crowley & Hu (1977) Stanford transplant
// data, the naive comparison of ever with never transplanted, and transplant as it happened.
Deno.test("coxRegression() tells the naive from the time-dependent transplant effect", () => {
  const naive = coxRegression(coxData("jasa.csv", {
    time: "futime",
    event: "fustat",
    covariates: { transplant: "transplant" },
    keep: (row) => Number(row.futime) >= 0,
  }));
  assertClose(naive.terms[0]!.hazardRatio, 0.266, printed(3));
  const data = coxData("heart.csv", {
    entry: "start",
    time: "stop",
    event: "event",
    covariates: { transplant: "transplant" },
  });
  const [term] = coxRegression(data).terms;
  assertClose(term!.hazardRatio, 1.136, printed(3));
  assertClose(term!.lower, 0.629, printed(3));
  assertClose(term!.upper, 2.049, printed(3));
});

const ties = (rule: TieRule) => ({ ties: rule });

Deno.test("coxRegression() matches reference case cox-ties-freireich", () => {
  const { expected, tolerance } = referenceCase("cox-ties-freireich");
  for (const rule of ["breslow", "efron", "exact"] as const) {
    assertFit(coxRegression(models.freireich(), ties(rule)), expected[rule], tolerance, rule);
  }
});

Deno.test("coxRegression() matches reference case cox-freireich-wbc", () => {
  const { expected, tolerance } = referenceCase("cox-freireich-wbc");
  const check = (data: Parameters<typeof coxRegression>[0], rule: TieRule, variant: string) =>
    assertFit(coxRegression(data, ties(rule)), expected[variant], tolerance, variant);
  check(models.wbc(), "breslow", "model1Breslow");
  check(models.wbc(true), "breslow", "model2Breslow");
  check(models.wbc(), "efron", "model1Efron");
});

Deno.test("coxRegression() matches reference case cox-aml", () => {
  const { expected, tolerance } = referenceCase("cox-aml");
  assertFit(coxRegression(models.aml()), expected, tolerance, "aml");
});

Deno.test("coxRegression() matches reference case cox-veteran", () => {
  const { expected, tolerance } = referenceCase("cox-veteran");
  assertFit(coxRegression(models.veteran()), expected.efron, tolerance, "efron");
  const breslow = coxRegression(models.veteran(), ties("breslow"));
  assertFit(breslow, expected.breslow, tolerance, "breslow");
});

Deno.test("coxRegression() matches reference case cox-stratified-veteran", () => {
  const { expected, tolerance } = referenceCase("cox-stratified-veteran");
  assertFit(coxRegression(models.stratifiedVeteran()), expected, tolerance, "stratified");
});

Deno.test("coxRegression() matches reference case cox-ovarian, whatever the rule for ties", () => {
  const { expected, tolerance } = referenceCase("cox-ovarian");
  for (const rule of ["efron", "breslow", "exact"] as const) {
    assertFit(coxRegression(models.ovarian(), ties(rule)), expected, tolerance, rule);
  }
});

Deno.test("coxRegression() matches reference case cox-lung", () => {
  const { expected, tolerance } = referenceCase("cox-lung");
  assertFit(coxRegression(models.lungSex()), expected.sexOnly, tolerance, "sexOnly");
  assertFit(coxRegression(models.lung()), expected.efron, tolerance, "efron");
  const breslow = coxRegression(models.lung(), ties("breslow"));
  assertFit(breslow, expected.breslow, tolerance, "breslow");
  const clustered = coxRegression(models.lung("inst"));
  assertFit(clustered, expected.clusterInst, tolerance, "clusterInst");
});

Deno.test("coxRegression() matches reference case cox-weighted-lung", () => {
  const { expected, tolerance } = referenceCase("cox-weighted-lung");
  const data = models.weightedLung("female", "age", "phEcog");
  assertFit(coxRegression(data), expected.efron, tolerance, "efron");
  assertFit(coxRegression(data, ties("breslow")), expected.breslow, tolerance, "breslow");
  const alone = coxRegression(models.weightedLung("female"));
  assertFit(alone, expected.femaleOnlyEfron, tolerance, "femaleOnly");
});

Deno.test("coxRegression() matches reference case cox-time-dependent-heart", () => {
  const { expected, tolerance } = referenceCase("cox-time-dependent-heart");
  assertFit(coxRegression(models.heart("id")), expected.efronCluster, tolerance, "efron");
  const breslow = coxRegression(models.heart(), ties("breslow"));
  assertFit(breslow, expected.breslow, tolerance, "breslow");
});

Deno.test("coxRegression() matches reference case cox-pbc", () => {
  const { expected, tolerance } = referenceCase("cox-pbc");
  assertFit(coxRegression(models.pbc()), expected.efronAll, tolerance, "all");
  const breslow = coxRegression(models.pbc(), ties("breslow"));
  assertFit(breslow, expected.breslowAll, tolerance, "breslow");
  assertFit(coxRegression(models.pbc(true)), expected.efronTrial, tolerance, "trial");
});

Deno.test("coxRegression() matches the Cox part of reference case landmark-lung", () => {
  const { expected, tolerance, options } = referenceCase("landmark-lung");
  const rows = referenceRows("lung.csv").filter((row) =>
    row["ph.ecog"] !== "" && Number(row.time) > options.landmark
  );
  const fit = coxRegression({
    time: numeric(rows, "time").map((t) => t - options.landmark),
    event: numeric(rows, "status"),
    covariates: { ecogHigh: numeric(rows, "ph.ecog").map((grade) => +(grade >= 2)) },
  });
  assertFit(fit, expected.cox, tolerance, "landmark");
});
