import assert from "node:assert/strict";
import {
  matchedSample,
  readCohort,
  rematcher,
  resampler,
  reweighter,
  selectEligible,
  standardizedDifference,
  studyPropensity,
  weightedSample,
} from "mitral";
import { assertClose } from "../close.ts";
import { analysis, demo, propensity } from "./demo-analysis.ts";

Deno.test("matchedSample() holds disjoint sets, within the caliper and the exact strata", () => {
  const sample = matchedSample(analysis, demo, { propensity });
  assert.ok(sample.sets > 100);
  assert.equal(sample.rows.length, sample.sets + sample.pairs.length);
  const seen = new Set<number>();
  const aetiology = analysis.columns.aetiology as string[];
  for (const [repair, replacement] of sample.pairs) {
    assert.equal(analysis.treated[repair], 1);
    assert.equal(analysis.treated[replacement], 0);
    assert.ok(!seen.has(repair) && !seen.has(replacement));
    seen.add(repair).add(replacement);
    assert.equal(aetiology[repair], aetiology[replacement]);
    const gap = propensity.linearPredictor[repair]! - propensity.linearPredictor[replacement]!;
    assert.ok(Math.abs(gap) <= sample.caliperWidth);
  }
  sample.rows.forEach((row, k) => {
    assert.equal(sample.treated[k], analysis.treated[row]);
    assert.equal(sample.weight[row], 1);
  });
  assert.deepEqual(
    sample.pairId.filter((id, k) => id === sample.pairId[k + 1]).length,
    sample.sets,
  );
  const { repair, replacement } = sample.unmatched;
  assert.equal(sample.rows.length + repair.length + replacement.length, analysis.n);
  const optimal = matchedSample(analysis, demo, { propensity, search: "whole" });
  assert.ok(optimal.sets >= sample.sets);
});

Deno.test("matchedSample() weighs k replacements of one repair as one", () => {
  const study = { ...demo, matching: { ...demo.matching, partners: 2 } };
  const sample = matchedSample(analysis, study, { propensity });
  const ofSet = new Map<number, number>();
  sample.rows.forEach((_, k) => {
    if (sample.treated[k] === 1) return;
    ofSet.set(sample.pairId[k]!, (ofSet.get(sample.pairId[k]!) ?? 0) + sample.rowWeight[k]!);
  });
  assert.equal(ofSet.size, sample.sets);
  for (const total of ofSet.values()) assertClose(total, 1);
});

// Identity: overlap weights balance every column of the model exactly.
// The whole search of the plan is that of the option, and a replicate of the
// rows themselves agrees.
Deno.test("matchedSample() and rematcher() match as the plan says, searching the whole if it does", async () => {
  const analysis = selectEligible(await readCohort(demo), demo);
  const study = { ...demo, matching: { ...demo.matching, search: "whole" as const } };
  const planned = matchedSample(analysis, study);
  assert.deepEqual(planned.pairs, matchedSample(analysis, demo, { search: "whole" }).pairs);
  assert.notDeepEqual(planned.pairs, matchedSample(analysis, demo).pairs);
  const every = Int32Array.from({ length: analysis.n }, (_, row) => row);
  assert.deepEqual([...rematcher(analysis, study)(every).rows], [...planned.rows]);
});

Deno.test("weightedSample() balances every column of the study's model", () => {
  const sample = weightedSample(analysis, demo, { propensity, estimand: "overlap" });
  for (const [name, covariate] of Object.entries(propensity.design.covariates)) {
    const { weight } = sample;
    const gap = standardizedDifference({ treated: analysis.treated, covariate, weight });
    assert.ok(Math.abs(gap) < 1e-8, `${name}: ${gap}`);
  }
  assert.equal(sample.inWords, "among patients who could have had either operation");
  assert.equal(sample.truncation, null);
  assert.ok(sample.repair.effective < sample.repair.n);
});

Deno.test("weightedSample() tells what cutting weights does", () => {
  const study = { ...demo, weights: { stabilized: true, truncate: [0.02, 0.98] } } as typeof demo;
  const sample = weightedSample(analysis, study, { propensity, estimand: "everyone" });
  const cut = sample.truncation!;
  // 2% at either end of n weights
  assert.ok(Math.abs(cut.cut - 0.04 * analysis.n) <= 2, `cut ${cut.cut}`);
  assert.ok(sample.replacement.effective > cut.before.replacement.effective);
  assert.ok(sample.repair.largest < cut.before.repair.largest);
});

Deno.test("weightedSample() warns of one patient who decides too much, and of what is left (by hand)", () => {
  const first = analysis.treated.indexOf(1);
  const scored = (least: number) => ({
    ...propensity,
    warnings: [],
    score: Float64Array.from(analysis.treated, (_, row) => row === first ? least : 0.5),
  });
  const warnings = (least: number) =>
    weightedSample(analysis, demo, { propensity: scored(least), estimand: "everyone" }).warnings;
  const n = analysis.groups.counts.repair;
  // weights 200 and n - 1 times 2: their sum squared over the sum of squares
  const share = 200 / (200 + 2 * (n - 1));
  const effective = (200 + 2 * (n - 1)) ** 2 / (200 ** 2 + 4 * (n - 1));
  assert.deepEqual(warnings(0.005), [
    `One patient carries ${Math.round(100 * share)}% of the weight of the repairs.`,
    `Weighting leaves the information of about ${Math.round(effective)} of ${n} repairs.`,
  ]);
  assert.deepEqual(warnings(0.5), []);
  assert.deepEqual(warnings(0.05), []);
});

Deno.test("studyPropensity() warns where the smaller group has few patients for each coefficient", () => {
  const smaller = Math.min(...Object.values(analysis.groups.counts));
  const thin = (plan: typeof demo) =>
    studyPropensity(analysis, plan).warnings.filter((text) => /coefficients, and the/.test(text));
  const coefficients = propensity.fit.terms.length - 1;
  assert.ok(smaller >= 10 * coefficients);
  assert.deepEqual(thin(demo), []);
  // a spline of many knots, each with a coefficient of its own
  const knots = Array.from({ length: 40 }, (_, k) => 40 + k);
  const covariates = demo.adjustment.covariates.map((covariate) =>
    covariate.column === "age" ? { column: "age", form: "spline" as const, knots } : covariate
  ) as typeof demo.adjustment.covariates;
  const [told] = thin({ ...demo, adjustment: { ...demo.adjustment, covariates } });
  assert.match(
    told!,
    /has \d+ coefficients, and the smaller group fewer than 10 patients for each/,
  );
});

// Identity: every row drawn once is the analysis itself.
Deno.test("rematcher() and reweighter() of the rows themselves are the study's samples", () => {
  const every = Int32Array.from({ length: analysis.n }, (_, i) => i);
  const sample = matchedSample(analysis, demo, { propensity });
  const again = rematcher(analysis, demo)(every);
  assert.deepEqual(again.rows, sample.rows);
  assert.deepEqual(again.pairId, sample.pairId);
  assert.deepEqual(again.treated, sample.treated);
  assert.deepEqual(
    reweighter(analysis, demo)(every),
    weightedSample(analysis, demo, { propensity }).weight,
  );
});

Deno.test("rematcher() follows the draw", () => {
  const rematch = rematcher(analysis, demo);
  const draw = resampler(analysis.n, demo.seed);
  const { rows } = draw(0);
  const times = new Map<number, number>();
  for (const row of rows) times.set(row, (times.get(row) ?? 0) + 1);
  const sample = rematch(rows);
  assert.ok(sample.rows.length > 200);
  for (const row of sample.rows) {
    times.set(row, (times.get(row) ?? 0) - 1);
    assert.ok(times.get(row)! >= 0, "nobody is matched more often than drawn");
  }
  sample.rows.forEach((row, k) => assert.equal(sample.treated[k], analysis.treated[row]));
});
