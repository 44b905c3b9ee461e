import assert from "node:assert/strict";
import { logisticRegression, SeededRandom } from "mitral";
import { learningColumns } from "../../../lib/programme/learning/learning-data.ts";
import { leftToLearn } from "../../../lib/programme/learning/efficient-terms.ts";
import { learningProfile } from "../../../lib/programme/learning/profile.ts";
import { assertClose } from "../../close.ts";
import { programme } from "../programmes.ts";

// Identity: with the number of cases given, it is a logistic regression with one more column.
Deno.test("learningProfile() of an event is a logistic regression at each number of cases", () => {
  const { outcome, unit, experience, covariates } = programme(new SeededRandom(5), {
    learning: { logOdds: 1, cases: 50 },
  });
  const data = { outcome, unit, experience, covariates };
  const columns = learningColumns(data, { kind: "event" }, "learningProfile");
  const cases = Float64Array.of(20, 50);
  const { points } = learningProfile(columns, cases);
  const units = [...new Set(unit)].slice(1);
  const others = Object.fromEntries(
    units.map((one) => [`unit ${one}`, Array.from(unit, (own) => own === one ? 1 : 0)]),
  );
  points.forEach(({ effect, standardError, logLikelihood }, k) => {
    const fit = logisticRegression({
      outcome,
      covariates: { ...covariates, ...others, left: leftToLearn(columns.experience, cases[k]!) },
    });
    const term = fit.terms.find(({ name }) => name === "left")!;
    assertClose(effect, term.coefficient, { relative: 1e-6, absolute: 1e-9 });
    assertClose(standardError, term.standardError, { relative: 1e-5, absolute: 1e-9 });
    assertClose(logLikelihood, fit.logLikelihood, { relative: 1e-9, absolute: 1e-9 });
  });
});

Deno.test("learningProfile() of an amount finds nothing where nobody gained experience", () => {
  const unit = ["A", "A", "A", "B", "B", "B"];
  const data = { outcome: [3, 5, 4, 8, 6, 9], unit, experience: [0, 0, 0, 0, 0, 0] };
  const columns = learningColumns(data, { kind: "amount" }, "learningProfile");
  const { points: [point] } = learningProfile(columns, Float64Array.of(20));
  assert.deepEqual([point!.effect, Math.abs(point!.gain) < 1e-12], [0, true]);
});
