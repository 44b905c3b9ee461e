import assert from "node:assert/strict";
import fc from "fast-check";
import { coxRegression, subdistributionRegression } from "mitral";
import { assertAllClose, assertClose } from "../../close.ts";
import { followUps, reorder, replicate } from "../generate.ts";
import { caseData } from "./subdistribution-rows.ts";

const fits = followUps({ min: 30, max: 60, entry: false }).filter((rows) =>
  rows.event.filter((code) => code === 1).length > 8
);

/** Two covariates that depend on nothing but the row's number. */
function covariates(n: number) {
  return {
    a: Array.from({ length: n }, (_, i) => (i * 7) % 5),
    b: Array.from({ length: n }, (_, i) => (i * i) % 3),
  };
}

Deno.test("subdistributionRegression() without competing events is the Cox model", () => {
  fc.assert(
    fc.property(fits, fc.constantFrom("breslow", "efron"), (rows, ties) => {
      const n = rows.time.length;
      const data = {
        ...rows,
        event: rows.event.map((code) => code === 2 ? 0 : code),
        covariates: covariates(n),
      };
      const fit = subdistributionRegression(data, { cause: 1, ties: ties as "efron" });
      const cluster = data.time.map((_, i) => i);
      const cox = coxRegression({ ...data, cluster }, { ties: ties as "efron" });
      assert.equal(fit.converged, cox.converged);
      if (!fit.converged) return;
      const near = { relative: 1e-6, absolute: 1e-7 };
      fit.terms.forEach((term, j) => {
        assertClose(term.coefficient, cox.terms[j]!.coefficient, near, "coefficient");
        assertClose(term.standardError, cox.terms[j]!.standardError, near, "model SE");
        const robust = cox.terms[j]!.robustStandardError!;
        assertClose(term.robustStandardError, robust, near, "robust SE");
      });
      assertClose(fit.logLikelihood, cox.logLikelihood, near);
      assertClose(fit.wald.statistic, cox.wald.statistic, { relative: 1e-5, absolute: 1e-6 });
      assertClose(fit.score.statistic, cox.score.statistic, near);
      assertClose(fit.concordance.estimate, cox.concordance.estimate, near);
      const times = [0.5, 1, 2].filter((t) => t <= Math.max(...rows.time));
      const profile = { a: 1, b: 2 };
      assertAllClose(
        fit.survivalFor(profile, times).survival,
        cox.survivalFor(profile, times).survival,
        near,
      );
    }),
    { numRuns: 60 },
  );
});

Deno.test("subdistributionRegression() does not depend on row order, units, labels or centring", () => {
  const { data, cause } = caseData("finegray-mgus2-death");
  const first = subdistributionRegression(data, { cause });
  const n = data.time.length;
  const order = Array.from({ length: n }, (_, i) => (i * 577) % n);
  const moved = subdistributionRegression({
    time: reorder([...data.time], order).map((t) => t / 12),
    event: reorder([...data.event], order),
    cluster: order.map((i) => `row ${i}`),
    covariates: {
      age: reorder([...data.covariates["age"]!], order).map((age) => (age - 70) / 10),
      male: reorder([...data.covariates["male"]!], order),
    },
  }, { cause });
  const unit = [10, 1];
  moved.terms.forEach((term, j) => {
    assertClose(term.coefficient / unit[j]!, first.terms[j]!.coefficient, undefined, "coefficient");
    assertClose(term.robustStandardError / unit[j]!, first.terms[j]!.robustStandardError);
  });
  assertAllClose(
    moved.incidenceFor({ age: 0.5, male: 1 }, [5, 20]).standardError,
    first.incidenceFor({ age: 75, male: 1 }, [60, 240]).standardError,
    { relative: 1e-7, absolute: 1e-10 },
  );
});

Deno.test("subdistributionRegression() takes a whole weight as so many rows", () => {
  const rowsWithWeights = followUps({ min: 25, max: 50, entry: false, whole: true }).filter((
    rows,
  ) => rows.weight !== undefined && rows.event.filter((code) => code === 1).length > 8);
  fc.assert(
    fc.property(rowsWithWeights, (rows) => {
      const n = rows.time.length;
      const columns = covariates(n);
      const index = rows.weight!.flatMap((w, i) => Array(w).fill(i) as number[]);
      const fit = subdistributionRegression({ ...rows, covariates: columns }, { cause: 1 });
      const other = subdistributionRegression({
        ...replicate(rows),
        covariates: { a: reorder(columns.a, index), b: reorder(columns.b, index) },
        cluster: index, // copies of a row stand or fall together
      }, { cause: 1 });
      if (!fit.converged || !other.converged) return;
      fit.terms.forEach((term, j) => {
        const near = { relative: 1e-5, absolute: 1e-6 };
        assertClose(term.coefficient, other.terms[j]!.coefficient, near);
        assertClose(term.robustStandardError, other.terms[j]!.robustStandardError, near);
      });
    }),
    { numRuns: 60 },
  );
});

// Identity: with untied times the robust errors are the root of the summed squares of numerical
// derivatives in the case weights, which reach G as well. Fine and Gray divide by the number at
// risk of censoring where the derivative divides by one less: hence 0.1 %.
for (const groups of [1, 2]) {
  Deno.test(`subdistributionRegression() errors are numerical derivatives (${groups} of G)`, () => {
    const n = 200;
    const index = Array.from({ length: n }, (_, i) => i);
    const data = {
      time: index.map((i) => ((i * 73) % n + 1) / 20),
      event: index.map((i) => [1, 2, 0, 1, 0, 2, 0][(i * i + 3 * i + Math.floor(i / 4)) % 7]!),
      covariates: { x1: index.map((i) => (i * 13) % 29 / 10), x2: index.map((i) => i % 2) },
      censoringGroup: index.map((i) => Math.floor(i / 3) % groups),
    };
    const profile = { x1: 1, x2: 1 };
    const times = [2, 7];
    const values = (weight?: number[]) => {
      const fit = subdistributionRegression({ ...data, ...(weight && { weight }) }, { cause: 1 });
      return [
        ...fit.terms.map((t) => t.coefficient),
        ...fit.incidenceFor(profile, times).incidence,
      ];
    };
    const squares = values().map(() => 0);
    for (const row of index) {
      const moved = (h: number) => values(index.map((i) => i === row ? 1 + h : 1));
      const up = moved(1e-3);
      const down = moved(-1e-3);
      squares.forEach((_, j) => squares[j]! += ((up[j]! - down[j]!) / 2e-3) ** 2);
    }
    const fit = subdistributionRegression(data, { cause: 1 });
    const known = subdistributionRegression(data, { cause: 1, censoringWeights: "known" });
    const ours = [
      ...fit.terms.map((t) => t.robustStandardError),
      ...fit.incidenceFor(profile, times).standardError,
    ];
    const right = squares.map(Math.sqrt);
    assertAllClose(ours, right, { relative: 0.001, absolute: 0 });
    if (groups > 1) return;
    // the part through G is there: without it each error is several times farther off
    const without = [
      ...known.terms.map((t) => t.robustStandardError),
      ...known.incidenceFor(profile, times).standardError,
    ];
    const off = (values: number[], j: number) => Math.abs(values[j]! - right[j]!);
    ours.forEach((_, j) => assert.ok(off(without, j) > 3 * off(ours, j)));
  });
}
