import assert from "node:assert/strict";
import * as mitral from "mitral";
import { chainsFrom, keptChains } from "../../lib/missing/study/mod.ts";
import { assertClose } from "../close.ts";
import { analysis, quick, study, survivalIn } from "./demo-sets.ts";

const plan = (missing: Partial<mitral.Study["missing"]>): mitral.Study => ({
  ...study,
  missing: { ...study.missing, ...missing },
});

function missingIn(set: mitral.Analysis): number {
  return mitral.incompleteRows(set, study).reduce((sum, one) => sum + one, 0);
}

Deno.test("completedSets() leaves no covariate missing, and changes nothing else", async () => {
  const completed = await mitral.completedSets(analysis, study, { ...quick, method: "impute" });
  assert.equal(completed.sets, 2);
  assert.ok(missingIn(analysis) > 100);
  for (const k of [0, 1]) {
    const set = completed.analysis(k);
    assert.equal(missingIn(set), 0);
    assert.equal(mitral.designMatrix(set, study).imputed.length, 0);
    for (const [name, column] of Object.entries(analysis.columns)) {
      const own = set.columns[name]!;
      if (!completed.columns.includes(name)) assert.equal(own, column, name);
      for (let i = 0; i < analysis.n; i++) {
        const known = column[i] !== "" && !Number.isNaN(column[i]);
        if (known) assert.equal(own[i], column[i], `${name}, row ${i}`);
      }
    }
    // tethering is for those with secondary regurgitation, and stays so
    const applies = mitral.appliesTo(set, "tether");
    set.columns.tether!.forEach((value: string | number, i: number) =>
      assert.equal(Number.isNaN(value), !applies[i])
    );
  }
  assert.notDeepEqual(completed.analysis(0).columns.pasp, completed.analysis(1).columns.pasp);
});

Deno.test("completedSets() as the plan says: complete cases, or marks", async () => {
  const complete = await mitral.completedSets(analysis, plan({ method: "complete" }));
  const left = missingIn(analysis);
  const only = complete.analysis(0);
  assert.equal(complete.sets, 1);
  assert.equal(only.n, analysis.n - left);
  assert.equal(only.flow.at(-1)?.excluded, left);
  assert.equal(only.flow.at(-1)?.remaining, only.n);
  assert.equal(only.groups.counts.repair + only.groups.counts.replacement, only.n);
  assert.equal(missingIn(only), 0);
  // rows still point into the cohort, visits go with their patients
  assert.equal(only.ids[5], analysis.ids[analysis.rows.indexOf(only.rows[5]!)]);
  assert.equal(mitral.followUpOf(only, "death").rows.length, only.n);
  const marked = await mitral.completedSets(analysis, plan({ method: "mean-and-mark" }));
  assert.equal(marked.analysis(0), analysis);
  assert.deepEqual(mitral.acrossSets(marked, survivalIn), survivalIn(analysis));
});

Deno.test("completedSets() makes one set for each per cent of incomplete patients", async () => {
  const own = await mitral.completedSets(analysis, plan({ method: "impute", sets: undefined }), {
    iterations: 1,
    workers: 0,
  });
  assert.equal(own.sets, Math.ceil(100 * own.incomplete));
  assert.equal(mitral.setsForIncomplete(0.015), 10);
  assert.equal(mitral.setsForIncomplete(1), 100);
  // by hand: 1 + (0.3 / 0.05)^2 / 2
  assert.equal(mitral.setsForPrecision(0.3), 19);
  assert.throws(() => mitral.setsForPrecision(1.2), /fractionMissing/);
});

Deno.test("completedSets() moves a column where its values are not missing at random", async () => {
  const options = { ...quick, sets: 2, method: "impute" } as const;
  const shifts = [{ column: "egfr", by: -20, group: "repair" }] as const;
  const still = await mitral.completedSets(analysis, study, options);
  const moved = await mitral.completedSets(analysis, study, { ...options, shifts });
  const meanOf = (completed: mitral.CompletedSets, arm: 0 | 1) => {
    const { rows, values } = completed.imputed!.sets[0]!.egfr!;
    const own = values.filter((_, k) => analysis.treated[rows[k]!] === arm);
    return own.reduce((sum, value) => sum + value, 0) / own.length;
  };
  assert.ok(meanOf(moved, 1) < meanOf(still, 1) - 10);
  assert.ok(Math.abs(meanOf(moved, 0) - meanOf(still, 0)) < 10);
  await assert.rejects(
    mitral.completedSets(analysis, study, { ...options, shifts: [{ column: "los", by: 1 }] }),
    /shifts.column/,
  );
});

Deno.test("completedSets() refuses what the plan wants known for everybody", async () => {
  const covariates = study.adjustment.covariates.map((one) =>
    one.column === "egfr" ? { ...one, missing: "stop" as const } : one
  );
  const strict = { ...study, adjustment: { ...study.adjustment, covariates } };
  await assert.rejects(
    mitral.completedSets(analysis, strict, { ...quick, method: "impute" }),
    /egfr\[\d+\] must be known for everybody/,
  );
});

Deno.test("observedAgainstImputed() sets drawn values beside known ones; mixing() judges chains", async () => {
  const completed = await mitral.completedSets(analysis, study, {
    method: "impute",
    sets: 4,
    iterations: 8,
    workers: 0,
  });
  const { imputed } = completed;
  const compared = mitral.observedAgainstImputed(imputed!);
  assert.deepEqual(compared.map(({ name }) => name).sort(), completed.columns.toSorted());
  const pasp = compared.find(({ name }) => name === "pasp")!;
  const known = analysis.columns.pasp as Float64Array;
  const values = known.filter((value) => !Number.isNaN(value));
  assert.equal(pasp.known.n, values.length);
  assertClose(pasp.known.mean, values.reduce((sum, v) => sum + v, 0) / values.length);
  assert.equal(pasp.imputed.n, analysis.n - values.length);
  // drawn from values known, so within their range
  assert.ok(pasp.imputed.quartiles[0] >= Math.min(...values));
  for (const { name, shrinkage } of mitral.mixing(imputed!)) {
    assert.ok(shrinkage > 0.5 && shrinkage < 2, `${name}: ${shrinkage}`);
  }
});

Deno.test("chains that were kept give the same completed sets", async () => {
  const options = { ...quick, method: "impute" } as const;
  const completed = await mitral.completedSets(analysis, study, options);
  const chains = chainsFrom(keptChains(completed));
  const again = await mitral.completedSets(analysis, study, { method: "impute", chains });
  assert.deepEqual(again.analysis(1).columns, completed.analysis(1).columns);
  assert.deepEqual(again.imputed!.traces, completed.imputed!.traces);
  // an analysis that has its sets with it is not imputed again
  const whole = mitral.withCompletions(analysis, again);
  assert.equal(await mitral.completedSets(whole, study, { method: "impute" }), again);
  // another way of treating missing values starts from what was recorded
  const marked = await mitral.completedSets(whole, study, { method: "mean-and-mark" });
  assert.equal(marked.analysis(0).completions, undefined);
  assert.throws(() => chainsFrom("{}"), /chains must be a list/);
});
