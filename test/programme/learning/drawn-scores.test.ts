import assert from "node:assert/strict";
import { covarianceOf, quantileOfSorted, SeededRandom } from "../../../lib/numerics/mod.ts";
import { drawnScores } from "../../../lib/programme/learning/drawn-scores.ts";
import { efficientTerms, scoresOf } from "../../../lib/programme/learning/efficient-terms.ts";
import { learningColumns } from "../../../lib/programme/learning/learning-data.ts";
import { noiseAbout } from "../../../lib/programme/learning/noise.ts";
import { sumsOfProducts } from "../../../lib/programme/learning/sums-of-products.ts";

const n = 20_100;

/** Many operations of 30 surgeons, an event in one of 20. */
function many(kind: "event" | "amount") {
  const random = new SeededRandom(3);
  const unit = Array.from({ length: n }, (_, i) => i % 30);
  const experience = unit.map((_, i) => Math.floor(i / 30));
  const outcome = unit.map((surgeon) =>
    kind === "event" ? random.bernoulli(0.05) : 90 + surgeon + 20 * random.normal()
  );
  const covariates = { points: unit.map(() => random.normal()) };
  const columns = learningColumns({ outcome, unit, experience, covariates }, { kind }, "test");
  const mean = columns.outcome.reduce((sum, y) => sum + y, 0) / n;
  const noise = noiseAbout(columns.outcome.map(() => mean), columns);
  const cases = Float64Array.of(20, 60, 60, 200, 600);
  return { noise, terms: efficientTerms(columns, cases, noise.variance).forDrawn };
}

for (const kind of ["event", "amount"] as const) {
  Deno.test(`drawnScores() of many rows go together as their sums do: ${kind}`, () => {
    const { noise, terms } = many(kind);
    const draws = 4000;
    const drawn = drawnScores(terms, noise, { draws, seed: 1 });
    const covariance = sumsOfProducts(terms, noise.drawnVariance);
    const p = terms.length;
    for (let a = 0; a < p; a++) {
      for (let b = 0; b <= a; b++) {
        const seen = covarianceOf(drawn.map((one) => one[a]!), drawn.map((one) => one[b]!));
        const size = Math.sqrt(covariance[a * p + a]! * covariance[b * p + b]!);
        // the standard error of a correlation near 0 is 1 / sqrt(draws); five of them
        assert.ok(
          Math.abs(seen - covariance[a * p + b]!) < 5 * size / Math.sqrt(draws),
          `${a} ${b}`,
        );
      }
    }
    // the third number of cases is the second again
    for (const one of drawn) assert.ok(Math.abs(one[1]! - one[2]!) < 1e-6 * Math.abs(one[1]!));
  });

  Deno.test(`drawnScores() of many rows: the highest is as when each row is drawn: ${kind}`, () => {
    const { noise, terms } = many(kind);
    const p = terms.length;
    const covariance = sumsOfProducts(terms, noise.drawnVariance);
    const highest = (scores: Float64Array) =>
      scores.reduce((most, score, k) => Math.max(most, score ** 2 / covariance[k * p + k]!), 0);
    const draws = 1000;
    const sums = drawnScores(terms, noise, { draws, seed: 2 }).map(highest);
    const random = new SeededRandom(4);
    const rows = Array.from({ length: draws }, () => highest(scoresOf(terms, noise.draw(random))));
    const at = quantileOfSorted(Float64Array.from(rows).sort(), 0.95);
    const beyond = sums.filter((one) => one > at).length / draws;
    // two shares of 0.05 of 1000 each: the standard error of their difference is 0.0097
    assert.ok(Math.abs(beyond - 0.05) < 4 * 0.0097, `${beyond}`);
  });
}
