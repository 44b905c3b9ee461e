import assert from "node:assert/strict";
import { causeSpecific, coxRegression, DataError, subdistributionRegression } from "mitral";
import type { SubdistributionOptions } from "mitral";
import { assertAllClose, assertClose } from "../../close.ts";
import { numeric, referenceRows } from "../../reference/load.ts";
import { caseData } from "./subdistribution-rows.ts";

for (const id of ["finegray-mgus2", "finegray-mgus2-death"]) {
  // Reference library, version and method named in the case.
  Deno.test(`subdistributionRegression() matches the reference (${id})`, () => {
    const { data, cause, expected, tolerance } = caseData(id);
    const { crr } = expected;
    const fit = subdistributionRegression(data, { cause });
    assert.ok(fit.converged);
    assert.equal(fit.n, expected.n);
    assert.equal(fit.events, expected.events);
    assertAllClose(fit.terms.map((t) => t.coefficient), crr.coef, tolerance, "coefficient");
    assertAllClose(fit.terms.map((t) => t.robustStandardError), crr.se, tolerance, "robust SE");
    assertAllClose(fit.terms.map((t) => t.pValue), crr.p, tolerance, "p");
    assertClose(fit.logLikelihood, crr.loglik, tolerance, "log likelihood");
    assertClose(fit.logLikelihoodNull, crr.loglikNull, tolerance, "null log likelihood");
  });

  for (const ties of ["breslow", "efron"] as const) {
    Deno.test(`subdistributionRegression() reaches the other convention (${id}, ${ties})`, () => {
      const { data, cause, expected, tolerance } = caseData(id);
      const right = expected[ties === "efron" ? "finegrayCoxEfron" : "finegrayCoxBreslow"];
      const fit = subdistributionRegression(data, {
        cause,
        ties,
        censoringRiskSet: "without-events",
        censoringWeights: "known",
      });
      assertAllClose(fit.terms.map((t) => t.coefficient), right.coef, tolerance, "coefficient");
      assertAllClose(fit.terms.map((t) => t.standardError), right.seNaive, tolerance, "model SE");
      assertAllClose(fit.terms.map((t) => t.robustStandardError), right.robustSe, tolerance, "SE");
      assertClose(fit.logLikelihood, right.loglik, tolerance, "log likelihood");
    });
  }

  Deno.test(`causeSpecific() gives the cause-specific fit of the reference (${id})`, () => {
    const { data, cause, expected, tolerance } = caseData(id);
    const right = expected.causeSpecificEfron;
    const fit = coxRegression(causeSpecific(data, cause));
    assert.equal(fit.events, right.events);
    assertAllClose(fit.terms.map((t) => t.coefficient), right.coef, tolerance, "coefficient");
    assertAllClose(fit.terms.map((t) => t.standardError), right.se, tolerance, "SE");
  });
}

// Methods brief row 22 (published for these data with the reference library, from memory):
// age -.0173, male -.260; cause-specific .0130, -.0251.
Deno.test("subdistributionRegression() gives the printed values of mgus2", () => {
  const rows = referenceRows("mgus2.csv");
  const data = {
    time: numeric(rows, "etime"),
    event: numeric(rows, "cause"),
    covariates: { age: numeric(rows, "age"), male: numeric(rows, "male") },
  };
  const printed = { relative: 0, absolute: 0.0006 };
  const fit = subdistributionRegression(data, { cause: 1 });
  assertAllClose(fit.terms.map((t) => t.coefficient), [-0.0173, -0.260], printed);
  assertClose(fit.terms[0]!.robustStandardError, 0.00574, { relative: 0, absolute: 0.000005 });
  const cox = coxRegression(causeSpecific(data, 1));
  assertAllClose(cox.terms.map((t) => t.coefficient), [0.0130, -0.0251], printed);
});

/** 120 made-up rows with many ties. */
function tiedRows() {
  const index = Array.from({ length: 120 }, (_, i) => i);
  return {
    time: index.map((i) => 1 + (i * 37) % 41),
    event: index.map((i) => [1, 2, 0, 1, 2, 1, 0][(i * i + 3 * i + Math.floor(i / 4)) % 7]!),
    covariates: { x1: index.map((i) => (i * 13) % 29 / 10), x2: index.map((i) => i % 2) },
    censoringGroup: index.map((i) => Math.floor(i / 3) % 2),
  };
}

// Reference: R 4.2.2, cmprsk 2.2-11, crr(time, cause, cbind(x1, x2), gtol = 1e-14) on the rows
// above, with and without cengroup, and predict() for (1, 0) and (2, 1); 13 digits printed.
const POOLED = [
  -0.02609052756617,
  -0.99906106481550,
  0.19947761267491,
  0.34349734445864,
  -158.92155745611586,
];
// Its standard errors by groups, 0.2002585 and 0.3425444, are 0.01 % and 0.1 % from ours; ours are
// held against numerical derivatives below.
const GROUPED = [-8.915121410124e-3, -9.690640741708e-1, -1.591300104132e2];
const PREDICTED = [
  [0.233370779265126, 0.496819289986111],
  [0.0909329528573439, 0.2183796790759186],
];
Deno.test("subdistributionRegression() matches the reference by groups of censoring", () => {
  const { censoringGroup, ...data } = tiedRows();
  const digits = { relative: 1e-8, absolute: 1e-9 };
  const fit = subdistributionRegression(data, { cause: 1 });
  assertAllClose(
    [
      ...fit.terms.map((t) => t.coefficient),
      ...fit.terms.map((t) => t.robustStandardError),
      fit.logLikelihood,
    ],
    POOLED,
    digits,
  );
  const grouped = subdistributionRegression({ ...data, censoringGroup }, { cause: 1 });
  assertAllClose(
    [...grouped.terms.map((t) => t.coefficient), grouped.logLikelihood],
    GROUPED,
    digits,
  );
  assertAllClose(fit.incidenceFor({ x1: 1, x2: 0 }, [20, 38]).incidence, PREDICTED[0]!, digits);
  assertAllClose(fit.incidenceFor({ x1: 2, x2: 1 }, [20, 38]).incidence, PREDICTED[1]!, digits);
});

Deno.test("subdistributionRegression() predicts within [0, 1], rising, limits around it", () => {
  const { data, cause } = caseData("finegray-mgus2");
  const fit = subdistributionRegression(data, { cause });
  const profile = { age: 60, male: 1, hgb: 12, mspike: 1.5 };
  const times = [0, 12, 60, 120, 240, 360, 500];
  const { incidence, lower, upper, standardError } = fit.incidenceFor(profile, times);
  assert.deepEqual([incidence[0], lower[0], upper[0], standardError[0]], [0, 0, 0, 0]);
  for (let i = 1; i < 6; i++) {
    assert.ok(incidence[i]! >= incidence[i - 1]! && incidence[i]! <= 1);
    assert.ok(lower[i]! < incidence[i]! && incidence[i]! < upper[i]!);
  }
  assert.ok(Number.isNaN(incidence[6]) && Number.isNaN(upper[6])); // past the last observed time
  const survival = fit.survivalFor(profile, times);
  assertClose(survival.lower[3]!, 1 - upper[3]!);
  // at the means, the prediction is the baseline
  const base = fit.baselineHazard();
  const j = base.time.findLastIndex((t) => t <= 120);
  assertClose(
    fit.incidenceFor(fit.means, [120]).incidence[0]!,
    1 - Math.exp(-base.cumulativeHazard[j]!),
  );
});

Deno.test("subdistributionRegression() names collinear and separating covariates", () => {
  const { censoringGroup: _, ...data } = tiedRows();
  const { x1, x2 } = data.covariates;
  const fit = subdistributionRegression({
    ...data,
    covariates: { x1, twice: x1.map((x) => 2 * x), x2, one: x1.map(() => 1) },
  }, { cause: 1 });
  assert.deepEqual(fit.dropped, ["twice", "one"]);
  assert.ok(Number.isNaN(fit.terms[1]!.coefficient));
  const plain = subdistributionRegression(data, { cause: 1 });
  assertClose(fit.terms[2]!.coefficient, plain.terms[1]!.coefficient);
  const separating = data.event.map((code) => code === 1 ? 1 : 0);
  const apart = subdistributionRegression({ ...data, covariates: { x1, separating } }, {
    cause: 1,
  });
  assert.equal(apart.converged, false);
  assert.deepEqual(apart.separated, ["separating"]);
  assert.match(apart.reason!, /separating/);
});

Deno.test("subdistributionRegression() refuses bad input by name and leaves good input alone", () => {
  const { censoringGroup: _, ...data } = tiedRows();
  const refuse = (
    change: object,
    argument: string,
    options: Partial<SubdistributionOptions> = {},
  ) =>
    assert.throws(
      () => subdistributionRegression({ ...data, ...change }, { cause: 1, ...options }),
      (error) => error instanceof DataError && error.argument === argument,
    );
  refuse({ entry: data.time.map(() => 0) }, "entry");
  refuse({ covariates: { x: [NaN, ...data.time.slice(1)] } }, "covariates.x");
  refuse({ covariates: {} }, "covariates");
  refuse({}, "event", { cause: 9 });
  refuse({}, "cause", { cause: 0 });
  assert.throws(() => causeSpecific(data, 9), DataError);
  const fit = subdistributionRegression(data, { cause: 1 });
  assert.throws(() => fit.incidenceFor({ x1: 1 }, [1]), DataError);
  assert.throws(() => fit.incidenceFor({ x1: 1, x2: 0, y: 1 }, [1]), DataError);
  const frozen = { ...data, time: Float64Array.from(data.time) };
  const before = frozen.time.slice();
  subdistributionRegression(frozen, { cause: 1 });
  assert.deepEqual(frozen.time, before);
});
