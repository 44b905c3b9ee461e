import { deepEqual, equal, ok, throws } from "node:assert/strict";
import fc from "fast-check";
import * as mitral from "../../lib/mod.ts";
import { disjointPopulations, membership } from "../../lib/comparisons/populations/mod.ts";
import { analyse, replaced, type Row } from "../cohort/small-cohort.ts";

const opened = mitral.openAnalysis();
// a few seconds, for all tests of the demonstration
const answered = opened.then(({ analysis }) => mitral.populationAnswers(analysis));

Deno.test("populationsOf() counts who is in it, and of whom a missing value leaves it open", async () => {
  const rows: Row[] = [{ lvef: 30 }, { lvef: 60 }, { lvef: "" }, { ...replaced, lvef: 39 }];
  const low = { column: "lvef", below: 40, source: "invented" };
  const populations = [{ id: "low", label: "Low", rule: low, planned: false }];
  const analysis = await analyse(rows, [], { populations });
  const [population] = mitral.populationsOf(analysis);
  deepEqual([...population!.rows], [0, 3]);
  deepEqual([population!.undecided, population!.planned, population!.main], [1, false, true]);
  deepEqual(membership([population!], analysis.n), { none: 2, one: 2, several: 0 });
});

Deno.test("populationsOf() is everybody eligible where the plan names no population", async () => {
  const [everyone, ...others] = mitral.populationsOf(await analyse([{}, replaced]));
  equal(others.length, 0);
  deepEqual([...everyone!.rows], [0, 1]);
  equal(everyone!.main, true);
});

Deno.test("disjointPopulations() takes none that shares a patient with one before it", () => {
  const some = fc.uniqueArray(fc.nat(11), { maxLength: 11 })
    .map((rows) => ({ rows: Int32Array.from(rows) }));
  fc.assert(fc.property(fc.array(some), (populations) => {
    const taken = disjointPopulations(populations, 12);
    const all = taken.flatMap(({ rows }) => [...rows]);
    equal(new Set(all).size, all.length);
    // whatever was left out shares a patient with one taken, or is nobody
    for (const one of populations.filter((other) => !taken.includes(other))) {
      ok(one.rows.length === 0 || one.rows.some((row) => all.includes(row)));
    }
  }));
});

Deno.test("populationAnswers() weighs anew in each population: alike in every characteristic", async () => {
  const { study } = await opened;
  const { populations } = await answered;
  deepEqual(populations.map(({ population }) => population.id), study.populations.map((p) => p.id));
  for (const { design, endpoints } of populations) {
    // overlap weights from a logistic score balance the means of its covariates exactly:
    // Li, Morgan & Zaslavsky (2018) JASA 113:390-400, theorem 3
    equal(design.score?.made, "anew");
    ok(design.balance!.largest.afterWeighting! < 0.01, `${design.balance!.largest.afterWeighting}`);
    ok(design.balance!.largest.before! > 0.3);
    for (const { main, why } of endpoints) equal(main === null, why !== "");
  }
});

Deno.test("populationAnswers() of everybody is the plan's weighted answer", async () => {
  const { analysis, study, confidence } = await opened;
  const answers = await answered;
  const [everyone] = answers.populations;
  equal(mitral.mainAnswer(answers).population.main, true);
  throws(() => mitral.mainAnswer({ ...answers, populations: [] }), /one that is the main one/);
  const weighting = mitral.weightedSample(analysis, study);
  const options = { times: study.horizons, confidence };
  for (const { endpoint, contrasts } of everyone!.endpoints) {
    const data = mitral.underWeights(mitral.followUpOf(analysis, endpoint), weighting);
    const direct = mitral.pooledContrasts<mitral.Contrast>(
      data,
      (one) =>
        endpoint === "death"
          ? mitral.survivalDifference(one, options)
          : mitral.incidenceDifference(one, { cause: 1, ...options }),
      { confidence },
    );
    deepEqual(
      contrasts.map(({ difference }) => difference),
      direct.map(({ difference }) => difference),
    );
  }
});

Deno.test("populationAnswers() tests disjoint populations and draws each towards the others", async () => {
  const { populations, heterogeneity } = await answered;
  const failure = heterogeneity.find(({ endpoint }) => endpoint === "valve-failure")!;
  deepEqual(failure.together.ids, ["degenerative", "secondary"]);
  const [d, s] = ["degenerative", "secondary"].map((id) =>
    populations.find(({ population }) => population.id === id)!.endpoints
      .find(({ endpoint }) => endpoint === "valve-failure")!.main!.difference
  );
  // by hand: Cochran's Q of two is the square of their difference over its standard error
  // with few events the standard error is that of the limits
  const [first, second] = [d!, s!].map(({ lower, upper }) =>
    (upper - lower) / (2 * 1.959963984540054)
  );
  const z = (d!.estimate - s!.estimate) / Math.hypot(first!, second!);
  ok(Math.abs(failure.together.test!.statistic - z * z) < 1e-9 * z * z);
  const [drawn] = failure.together.shrunken;
  ok(drawn!.estimate > d!.estimate && drawn!.estimate < s!.estimate && drawn!.shrinkage < 1);
  deepEqual(failure.against.map(({ id }) => id), ["secondary-tethered", "low-ejection-fraction"]);
});

Deno.test("populationAnswers() says what it is short of in place of a number", async () => {
  const { cohort, study } = await opened;
  const strict = {
    ...study,
    enough: { ...study.enough, effectiveNumber: { value: 200, source: "invented" } },
  };
  const { populations } = mitral.populationAnswers(mitral.selectEligible(cohort, strict));
  const low = populations.find(({ population }) => population.id === "low-ejection-fraction")!;
  ok(low.endpoints.every(({ main, why }) => main === null && /fewer than 200/.test(why)));
});
