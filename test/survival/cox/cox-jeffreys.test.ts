import assert from "node:assert/strict";
import fc from "fast-check";
import { followUpColumns, groupColumn } from "../../../lib/numerics/columns/columns.ts";
import { factorSymmetric, invertFactored } from "../../../lib/numerics/algebra/linear.ts";
import { coxDesign } from "../../../lib/survival/cox/rows/design.ts";
import { partialLikelihood } from "../../../lib/survival/cox/likelihood/likelihood.ts";
import { coxRegression } from "../../../lib/survival/cox/model/cox-regression.ts";
import { informationGradient } from "../../../lib/survival/cox/likelihood/third-moments.ts";
import { assertClose } from "../../close.ts";
import { models } from "./cox-cases.ts";

const separated = {
  time: [1, 2, 3, 4, 5, 6, 7, 8],
  event: [1, 1, 1, 1, 1, 1, 0, 1],
  covariates: { x: [1, 1, 1, 0, 0, 0, 0, 0] },
};

/** By hand: log likelihood + half the log of the information, one 0/1 covariate, no ties. */
function penalised(b: number): number {
  const { time, event, covariates: { x } } = separated;
  let logLikelihood = 0;
  let information = 0;
  time.forEach((t, i) => {
    if (event[i] === 0) return;
    const atRisk = x.filter((_, j) => time[j]! >= t);
    const ones = atRisk.filter((value) => value === 1).length * Math.exp(b);
    const zeros = atRisk.filter((value) => value === 0).length;
    logLikelihood += b * x[i]! - Math.log(ones + zeros);
    information += (ones / (ones + zeros)) * (zeros / (ones + zeros));
  });
  return logLikelihood + Math.log(information) / 2;
}

Deno.test('coxRegression() penalty "jeffreys" maximises the penalised likelihood by hand', () => {
  const fit = coxRegression(separated, { penalty: "jeffreys" });
  const [term] = fit.terms;
  assert.equal(fit.converged, true);
  assert.deepEqual(fit.separated, []);
  const b = term!.coefficient;
  const slope = (penalised(b + 1e-5) - penalised(b - 1e-5)) / 2e-5;
  assertClose(slope, 0, { relative: 0, absolute: 1e-9 });
  assert.ok(penalised(b) > penalised(b + 0.5) && penalised(b) > penalised(b - 0.5));
  assertClose(fit.logLikelihood, penalised(b));
  assertClose(fit.logLikelihoodNull, penalised(0));
  assertClose(fit.likelihoodRatio.statistic, 2 * (penalised(b) - penalised(0)));
});

// By hand: the limits are where twice the drop is the chi-square quantile 3.841459 (from tables).
Deno.test('coxRegression() penalty "jeffreys" limits come from the profile', () => {
  const fit = coxRegression(separated, { penalty: "jeffreys" });
  const { coefficient, lower, upper, pValue } = fit.terms[0]!;
  for (const limit of [lower, upper]) {
    const drop = 2 * (penalised(coefficient) - penalised(Math.log(limit)));
    assertClose(drop, 3.841459, { relative: 0, absolute: 1e-5 });
  }
  assertClose(pValue, fit.likelihoodRatio.pValue, { relative: 1e-6, absolute: 0 });
});

Deno.test('coxRegression() penalty "jeffreys" shrinks little where there is much information', () => {
  const plain = coxRegression(models.pbc());
  const fit = coxRegression(models.pbc(), { penalty: "jeffreys" });
  assert.equal(fit.converged, true);
  fit.terms.forEach((term, j) => {
    const { coefficient, standardError, lower, upper } = plain.terms[j]!;
    assert.ok(Math.abs(term.coefficient - coefficient) < 0.1 * standardError);
    assertClose(Math.log(term.lower), Math.log(lower), {
      relative: 0,
      absolute: standardError / 5,
    });
    assertClose(Math.log(term.upper), Math.log(upper), {
      relative: 0,
      absolute: standardError / 5,
    });
  });
});

// Identity: equivariance, as for any maximum likelihood under Jeffreys' prior.
Deno.test('coxRegression() penalty "jeffreys" does not depend on units', () => {
  const fit = coxRegression(models.lung(), { penalty: "jeffreys" });
  const data = models.lung();
  const age = Array.from(data.covariates.age!, (years) => years * 1e9 - 3);
  const covariates = { ...data.covariates, age };
  const scaled = coxRegression({ ...data, covariates }, { penalty: "jeffreys" });
  const close = { relative: 1e-7, absolute: 1e-9 };
  assertClose(scaled.terms[0]!.coefficient * 1e9, fit.terms[0]!.coefficient, close);
  assertClose(scaled.terms[0]!.pValue, fit.terms[0]!.pValue, { relative: 1e-5, absolute: 0 });
  assertClose(scaled.terms[1]!.upper, fit.terms[1]!.upper, { relative: 1e-5, absolute: 0 });
});

// Identity: the gradient against differences of the information, over random cohorts.
Deno.test("informationGradient() is the derivative of the information's log determinant", () => {
  const rows = fc.array(
    fc.tuple(
      fc.integer({ min: 0, max: 6 }),
      fc.constantFrom(0, 1, 1),
      fc.integer({ min: -3, max: 3 }),
      fc.integer({ min: 0, max: 2 }),
      fc.integer({ min: 1, max: 4 }),
      fc.integer({ min: 1, max: 3 }),
    ),
    { minLength: 12, maxLength: 30 },
  );
  fc.assert(
    fc.property(rows, fc.boolean(), fc.boolean(), (list, efron, late) => {
      const column = (k: number) => list.map((row) => row[k]!);
      fc.pre(column(1).includes(1));
      const follow = followUpColumns({
        time: column(0),
        event: column(1),
        weight: column(5),
        ...(late ? { entry: list.map((row) => row[0] - row[4]) } : {}),
      });
      const columns = [Float64Array.from(column(2)), Float64Array.from(column(3))];
      const stratum = groupColumn("stratum", list.map((_, i) => i % 2));
      const design = coxDesign(follow, columns, stratum);
      const evaluate = partialLikelihood(design, efron);
      const beta = Float64Array.of(0.4, -0.3);
      const factor = factorSymmetric(evaluate(beta).information, 2, 1e-6);
      fc.pre(factor.dropped.length === 0);
      const logDeterminant = (at: Float64Array) => {
        const { information: [a, b, , d] } = evaluate(at);
        return Math.log(a! * d! - b! * b!);
      };
      const gradient = informationGradient(design, beta, efron, invertFactored(factor));
      const h = 1e-5;
      for (const j of [0, 1]) {
        const shifted = (by: number) => beta.map((value, k) => k === j ? value + by : value);
        const slope = (logDeterminant(shifted(h)) - logDeterminant(shifted(-h))) / (2 * h);
        assertClose(gradient[j]!, slope, { relative: 1e-5, absolute: 1e-5 });
      }
    }),
    { numRuns: 100, seed: 20240607 },
  );
});
