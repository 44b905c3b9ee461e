import assert from "node:assert/strict";
import { DataError, randomInterceptLogistic } from "mitral";
import { normalQuadrature } from "../../../lib/programme/mixed/gauss-hermite.ts";
import { assertAllClose, assertClose } from "../../close.ts";
import { numeric, referenceCase, referenceRows } from "../../reference/load.ts";

// By hand: moments of the standard normal are 1, 0, 1, 0, 3, 0, 15, ... (2 k - 1)!!
Deno.test("normalQuadrature() has the moments of the standard normal", () => {
  for (const k of [1, 2, 3, 7, 15, 30, 60]) {
    const { node, weight } = normalQuadrature(k);
    let moment = 1;
    for (let power = 0; power < Math.min(2 * k, 20); power++) {
      const sum = node.reduce((total, x, q) => total + weight[q]! * x ** power, 0);
      if (power % 2 === 0 && power > 0) moment *= power - 1;
      const expected = power % 2 === 0 ? moment : 0;
      assertClose(sum / Math.max(1, moment), expected / Math.max(1, moment), {
        relative: 1e-12,
        absolute: 1e-12,
      });
    }
  }
});

// Reference: see the case's source.
Deno.test("randomInterceptLogistic() agrees with the reference on twelve units", () => {
  const { expected, tolerance } = referenceCase("random-intercept-units");
  const rows = referenceRows("units.csv");
  const fit = randomInterceptLogistic({
    outcome: numeric(rows, "y"),
    unit: rows.map(({ unit }) => unit!),
    covariates: { hard: numeric(rows, "hard"), redo: numeric(rows, "redo") },
  });
  assert.equal(fit.converged, true);
  assertClose(fit.logLikelihood, expected.logLik, { relative: 1e-9, absolute: 0 });
  assertAllClose(
    fit.terms.map(({ estimate }) => estimate),
    expected.coef,
    tolerance,
    "coefficient",
  );
  assertAllClose(fit.terms.map((term) => term.standardError), expected.se, tolerance, "error");
  assertClose(fit.spread, expected.spread, tolerance, "spread");
  assertClose(fit.variation.statistic, 2 * (expected.logLik - expected.logLikNone), tolerance);
  const effects = fit.units.map(({ effect }) => effect);
  assertAllClose(effects.map(({ estimate }) => estimate), expected.effect, tolerance, "effect");
  assertAllClose(
    effects.map((one) => one.standardError),
    expected.effectSe,
    tolerance,
    "its error",
  );
  const { lower, upper } = fit.spreadLimits();
  assertClose(lower, expected.spreadLower, { relative: 1e-4, absolute: 0 }, "lower");
  assertClose(upper, expected.spreadUpper, { relative: 1e-4, absolute: 0 }, "upper");
});

// Reference: see the case's source.
Deno.test("spreadLimits() adjusted for the fitted terms agrees with the reference", () => {
  const { expected, tolerance } = referenceCase("spread-adjusted-limits");
  const rows = referenceRows("units.csv");
  const { spread, spreadLimits } = randomInterceptLogistic({
    outcome: numeric(rows, "y"),
    unit: rows.map(({ unit }) => unit!),
    covariates: { hard: numeric(rows, "hard"), redo: numeric(rows, "redo") },
  });
  const adjusted = spreadLimits({ adjusted: true });
  assertClose(adjusted.estimate, expected.estimate, tolerance, "estimate");
  assertClose(adjusted.lower, expected.lower, tolerance, "lower");
  assertClose(adjusted.upper, expected.upper, tolerance, "upper");
  // few units: what the terms took from the spread is given back
  assert.ok(adjusted.estimate > spread && adjusted.upper > spreadLimits().upper);
});

// Identity: row order, names of units and units of covariates change nothing.
Deno.test("randomInterceptLogistic() ignores order, labels and scale", () => {
  const rows = referenceRows("units.csv");
  const of = (list: typeof rows, factor: number) =>
    randomInterceptLogistic({
      outcome: numeric(list, "y"),
      unit: list.map(({ unit }) => (factor === 1 ? unit! : Number(unit!.slice(1)))),
      covariates: { hard: numeric(list, "hard").map((x) => factor * x + 3 * (factor - 1)) },
    });
  const one = of(rows, 1);
  const other = of(rows.toReversed(), 10);
  assertClose(other.logLikelihood, one.logLikelihood, { relative: 1e-10, absolute: 0 });
  assertClose(other.terms[1]!.estimate * 10, one.terms[1]!.estimate, {
    relative: 1e-6,
    absolute: 0,
  });
  assertClose(other.spread, one.spread, { relative: 1e-6, absolute: 0 });
});

// Identity: an offset takes the place of a covariate with coefficient 1.
Deno.test("randomInterceptLogistic() adds the offset to the log odds", () => {
  const rows = referenceRows("units.csv");
  const data = { outcome: numeric(rows, "y"), unit: rows.map(({ unit }) => unit!) };
  const none = randomInterceptLogistic(data);
  const shifted = randomInterceptLogistic({ ...data, offset: data.outcome.map(() => 1.5) });
  const exact = { relative: 1e-7, absolute: 1e-9 };
  assertClose(shifted.terms[0]!.estimate, none.terms[0]!.estimate - 1.5, exact);
  assertClose(shifted.spread, none.spread, exact);
});

Deno.test("randomInterceptLogistic() says what is wrong with its input", () => {
  const outcome = [0, 1, 0, 1];
  assert.throws(
    () => randomInterceptLogistic({ outcome, unit: ["A", "A", "A", "A"] }),
    new DataError("unit", "at least two units", "A"),
  );
  assert.throws(() => randomInterceptLogistic({ outcome: [1, 1], unit: ["A", "B"] }), DataError);
  assert.throws(() => randomInterceptLogistic({ outcome, unit: ["A", "B"] }), DataError);
});
