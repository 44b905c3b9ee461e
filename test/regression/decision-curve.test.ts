import assert from "node:assert/strict";
import { DataError, decisionCurve } from "mitral";
import { assertAllClose, assertClose } from "../close.ts";
import { numeric, referenceCase, referenceRows } from "../reference/load.ts";

const rows = referenceRows("marks.csv");
const outcome = numeric(rows, "impaired");
const rules = { model: { risk: numeric(rows, "risk") }, mark: { marked: numeric(rows, "mark") } };

// Reference: see the case's source.
Deno.test("decisionCurve() agrees with the reference", () => {
  const { expected, options, tolerance } = referenceCase("decision-curve");
  const { thresholds } = options;
  const { lines, all } = decisionCurve({ outcome, rules }, { thresholds });
  const [model, mark] = lines;
  const estimates = (values: { estimate: number }[]) => values.map(({ estimate }) => estimate);
  const errors = (values: { standardError: number }[]) =>
    values.map(({ standardError }) => standardError);
  assertAllClose(estimates(model!.benefit), expected.risk, tolerance);
  assertAllClose(estimates(mark!.benefit), expected.mark, tolerance);
  assertAllClose(estimates(all), expected.all, tolerance);
  assertAllClose(errors(model!.benefit), expected.riskSe, tolerance);
  assertAllClose(errors(mark!.benefit), expected.markSe, tolerance);
  const weighted = decisionCurve({ outcome, rules, weight: numeric(rows, "w") }, { thresholds });
  assertAllClose(estimates(weighted.lines[0]!.benefit), expected.weightedRisk, tolerance);
});

// By hand: 4 patients, threshold 1/5, so that a needless action costs 1/4.
Deno.test("decisionCurve() by hand", () => {
  const { lines, all } = decisionCurve({
    outcome: [0, 1, 0, 1],
    rules: { model: { risk: [0.1, 0.6, 0.3, 0.4] }, mark: { marked: [0, 1, 1, 0] } },
  }, { thresholds: [0.2] });
  assertClose(lines[0]!.benefit[0]!.estimate, (2 - 1 / 4) / 4);
  assertClose(lines[1]!.benefit[0]!.estimate, (1 - 1 / 4) / 4);
  assertClose(all[0]!.estimate, (2 - 2 / 4) / 4);
  assertClose(lines[0]!.gain[0]!.estimate, 1 / 4 / 4); // one needless action spared
});

// Identity: acting on nobody and on everybody; a risk that is the outcome itself.
Deno.test("decisionCurve() of rules that are known", () => {
  const thresholds = [0.1, 0.4];
  const known = decisionCurve({
    outcome,
    rules: {
      nobody: { marked: outcome.map(() => 0) },
      everybody: { risk: outcome.map(() => 1) },
      oracle: { marked: outcome },
    },
  }, { thresholds });
  const share = outcome.reduce((sum, y) => sum + y, 0) / outcome.length;
  thresholds.forEach((_, k) => {
    assert.equal(known.lines[0]!.benefit[k]!.estimate, 0);
    assertClose(known.lines[1]!.benefit[k]!.estimate, known.all[k]!.estimate);
    assertClose(known.lines[2]!.benefit[k]!.estimate, share);
  });
});

Deno.test("decisionCurve() says what is wrong with its input", () => {
  assert.throws(
    () => decisionCurve({ outcome, rules }, { thresholds: [0.2, 1] }),
    new DataError("thresholds", "strictly between 0 and 1", 1, 1),
  );
  assert.throws(() => decisionCurve({ outcome, rules: {} }, { thresholds: [0.2] }), DataError);
});
