// Rows of a model with a random intercept taken together: the same answer as row by row.
import assert from "node:assert/strict";
import { randomInterceptLogistic, SeededRandom } from "mitral";
import { climbMixed } from "../../../lib/programme/mixed/climb.ts";
import { normalQuadrature } from "../../../lib/programme/mixed/gauss-hermite.ts";
import { addUnit } from "../../../lib/programme/mixed/posterior.ts";
import { gathered, mixedRows } from "../../../lib/programme/mixed/rows.ts";
import { assertClose } from "../../close.ts";

const near = { relative: 1e-4, absolute: 1e-6 };

function operations(n: number) {
  const random = new SeededRandom(12);
  const unit = Int32Array.from({ length: n }, () => random.integer(6));
  const offset = Float64Array.from({ length: n }, () => 1.2 * random.normal());
  const shift = [-0.6, -0.2, 0, 0.1, 0.3, 0.5];
  const outcome = Uint8Array.from(
    unit,
    (u, i) => random.bernoulli(1 / (1 + Math.exp(-offset[i]! - 0.4 - shift[u]!))),
  );
  return { outcome, unit, offset };
}

Deno.test("rows taken together climb to where rows one by one do", () => {
  const { rows, start } = mixedRows(operations(15_000));
  const few = gathered(rows);
  assert.ok(few.n < rows.n / 3, `${few.n} of ${rows.n}`);
  assert.equal(few.count.reduce((sum, one) => sum + one, 0), rows.n);
  const from = start.slice();
  from[1] = 0.5;
  const [one, other] = [rows, few].map((own) => climbMixed(own, from, normalQuadrature(15)));
  assert.ok(one!.converged && other!.converged);
  one!.parameters.forEach((value, k) => assertClose(other!.parameters[k]!, value, near));
  one!.inverse.forEach((value, k) => assertClose(other!.inverse[k]!, value, near));
  one!.posteriors.forEach(({ mean, sd }, k) => {
    assert.ok(Math.abs(other!.posteriors[k]!.mean - mean) < 1e-3);
    assertClose(other!.posteriors[k]!.sd, sd, near);
  });
});

Deno.test("randomInterceptLogistic() of 30,000 rows counts rows and events as they were given", () => {
  const data = operations(30_000);
  const fit = randomInterceptLogistic(data);
  const events = data.outcome.reduce((sum, y) => sum + y, 0);
  assert.deepEqual([fit.n, fit.events, fit.linearPredictor.length], [30_000, events, 30_000]);
  assert.equal(fit.units.reduce((sum, { n }) => sum + n, 0), 30_000);
  assert.equal(fit.units.reduce((sum, one) => sum + one.events, 0), events);
  const [constant] = fit.terms;
  fit.linearPredictor.forEach((eta, i) => assertClose(eta, data.offset[i]! + constant!.estimate));
});

Deno.test("7 nodes are enough for a unit of 300 events", () => {
  const random = new SeededRandom(21);
  const { node, weight } = normalQuadrature(7);
  for (const [share, spread] of [[0.05, 0.2], [0.05, 1.5], [0.3, 0.5], [0.5, 3]] as const) {
    const n = Math.ceil(300 / share);
    const outcome = Uint8Array.from({ length: n }, (_, i) => Number(i < 300));
    const x = Float64Array.from({ length: n }, () => random.normal());
    const rows = {
      n,
      columns: [x],
      outcome,
      offset: new Float64Array(n),
      count: new Float64Array(n).fill(1),
      units: [{ first: 0, end: n }],
    };
    const base = x.map((value) => Math.log(share / (1 - share)) + 0.4 * value + spread);
    const [few, many] = [{ node, weight }, normalQuadrature(45)].map((quadrature) => {
      const sums = {
        logLikelihood: 0,
        gradient: new Float64Array(3),
        hessian: new Float64Array(9),
      };
      addUnit(rows, { first: 0, end: n }, { base, spread, start: 0 }, quadrature, sums);
      return sums;
    });
    assert.ok(Math.abs(few!.logLikelihood - many!.logLikelihood) < 1e-6);
    few!.gradient.forEach((value, k) =>
      assertClose(value, many!.gradient[k]!, { relative: 1e-5, absolute: 1e-4 })
    );
    few!.hessian.forEach((value, k) =>
      assertClose(value, many!.hessian[k]!, { relative: 1e-4, absolute: 1e-2 })
    );
  }
});
