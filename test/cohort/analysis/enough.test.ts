// Of very many patients some are drawn: they are patients of the analysis, whole, with visits.
import { deepEqual, equal } from "node:assert/strict";
import { drawnFrom } from "../../../lib/cohort/analysis/mod.ts";
import { drawnNotes, enoughOfCohort, selectEligible } from "../../../lib/cohort/mod.ts";
import { enoughOf, enoughToRepeat, openAnalysis } from "../../../lib/missing/mod.ts";
import { ENOUGH } from "../../../lib/numerics/mod.ts";
import { weightedSample } from "../../../lib/balance/samples/mod.ts";
import { repeatedCohort } from "../repeated-cohort.ts";
import { readRows, replaced } from "../small-cohort.ts";

const { analysis, cohort, study } = await openAnalysis();

Deno.test("of no more than enough nobody is drawn, and nothing is said", async () => {
  equal(await enoughOf(analysis), analysis);
  equal(enoughOfCohort(cohort, study), cohort);
  deepEqual(drawnNotes(analysis, analysis), []);
});

Deno.test("those drawn keep their row, group, values and visits", () => {
  const some = drawnFrom(analysis, 500);
  equal(some.n, 500);
  equal(some.groups.counts.repair + some.groups.counts.replacement, 500);
  const placeOf = new Map(analysis.ids.map((id, i) => [id, i]));
  some.ids.forEach((id, i) => {
    const there = placeOf.get(id)!;
    equal(some.rows[i], analysis.rows[there]);
    equal(some.treated[i], analysis.treated[there]);
    for (const name of ["age", "lvef", "aetiology"]) {
      deepEqual(some.columns[name]![i], analysis.columns[name]![there]);
    }
    const own = some.visits.day.slice(some.visits.offsets[i], some.visits.offsets[i + 1]);
    const { day, offsets } = analysis.visits;
    deepEqual(own, day.slice(offsets[there], offsets[there + 1]));
  });
  deepEqual(drawnFrom(analysis, 500).ids, some.ids);
  deepEqual(drawnNotes(some, analysis), [
    `500 of ${analysis.n.toLocaleString("en-GB")} patients, drawn at random.`,
  ]);
});

Deno.test("a cohort of very many becomes one of enough, all of them eligible", () => {
  // one centre's patients, over and over: what is drawn is asked after, not what they show
  const times = Math.ceil((ENOUGH + 1) / analysis.n);
  const rows = Array.from({ length: times * cohort.n }, (_, k) => k % cohort.n);
  const repeated = repeatedCohort(cohort, rows);
  const some = enoughOfCohort(repeated, study);
  equal(some.n, ENOUGH);
  equal(some.visits.count, some.visits.offsets[ENOUGH]);
  const eligible = selectEligible(some, study);
  equal(eligible.n, ENOUGH);
  equal(eligible.excluded.length, 0);
});

Deno.test("enoughToRepeat() gives everybody and their weights, or those drawn with weights of their own", async () => {
  const weighting = weightedSample(analysis, study);
  const all = await enoughToRepeat(analysis, study, weighting);
  equal(all.some, analysis);
  equal(all.weighting, weighting);
  deepEqual(all.drawn, []);

  const rows = Array.from({ length: 40 }, (_, i) => ({
    age: 50 + (7 * i) % 30,
    ...(i % 2 ? replaced : {}),
  }));
  const small = await readRows(rows);
  const many = Array.from({ length: ENOUGH + 40 }, (_, k) => k % 40);
  const whole = selectEligible(repeatedCohort(small.cohort, many), small.study);
  const ofWhole = weightedSample(whole, small.study);
  const enough = await enoughToRepeat(whole, small.study, ofWhole);
  equal(enough.some.n, ENOUGH);
  deepEqual(enough.drawn, drawnNotes({ n: ENOUGH }, { n: ENOUGH + 40 }));
  deepEqual(enough.weighting.weight, weightedSample(enough.some, small.study).weight);
  // made once
  equal(enough.weighting, enough.weighting);
});
