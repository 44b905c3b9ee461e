import { deepEqual, equal, ok, throws } from "node:assert/strict";
import * as mitral from "../../lib/mod.ts";

const opened = mitral.openAnalysis();
// a few seconds, for all tests of the demonstration
const answered = opened.then(({ analysis }) => mitral.populationAnswers(analysis));

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
