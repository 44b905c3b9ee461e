import assert from "node:assert/strict";
import fc from "fast-check";
import { logisticRegression, SeededRandom } from "mitral";
import { logisticRefit } from "../../lib/regression/models/mod.ts";

/** Invented: two numbers and a rare mark that decide the outcome. */
function invented(seed: number, n: number, rare = 0.2) {
  const random = new SeededRandom(seed);
  const covariates = {
    x: Float64Array.from({ length: n }, () => 50 + 10 * random.normal()),
    z: Float64Array.from({ length: n }, () => random.normal()),
    mark: Float64Array.from({ length: n }, () => random.bernoulli(rare)),
  };
  const outcome = Uint8Array.from(covariates.z, (z, i) => {
    const logit = 0.05 * (covariates.x[i]! - 50) + z - covariates.mark[i]!;
    return random.bernoulli(1 / (1 + Math.exp(-logit)));
  });
  return { outcome, covariates };
}

/** The plain definition: the rows drawn, each as often as it is, in a model of their own. */
function plain({ outcome, covariates }: ReturnType<typeof invented>, rows: Int32Array) {
  const pick = (column: ArrayLike<number>) => Float64Array.from(rows, (row) => column[row]!);
  return logisticRegression({
    outcome: pick(outcome),
    covariates: Object.fromEntries(
      Object.entries(covariates).map(([name, column]) => [name, pick(column)]),
    ),
  });
}

Deno.test("logisticRefit() gives the linear predictor of a model of the drawn rows", () => {
  let refitted = 0;
  fc.assert(
    fc.property(
      fc.integer({ min: 1, max: 1e6 }),
      fc.integer({ min: 60, max: 400 }),
      (seed, n) => {
        const data = invented(seed, n);
        const whole = logisticRegression(data);
        if (!whole.converged) return;
        const refit = logisticRefit(data, whole);
        const random = new SeededRandom(seed + 1);
        const rows = Int32Array.from({ length: n }, () => Math.floor(n * random.uniform()));
        const times = new Float64Array(n);
        for (const row of rows) times[row]!++;
        const found = refit(times);
        if (!found) return;
        refitted++;
        const { linearPredictor, converged } = plain(data, rows);
        assert.ok(converged);
        rows.forEach((row, k) =>
          assert.ok(Math.abs(found[row]! - linearPredictor[k]!) < 1e-8, `${k}`)
        );
      },
    ),
    { numRuns: 60 },
  );
  assert.ok(refitted > 40, `only ${refitted}`);
});

Deno.test("logisticRefit() leaves to a plain fit what it cannot be sure of", () => {
  const data = invented(3, 200, 0.05);
  const refit = logisticRefit(data, logisticRegression(data));
  assert.ok(refit(new Float64Array(200).fill(1)));
  // nobody drawn has the mark
  assert.equal(refit(data.covariates.mark.map((one) => 1 - one)), undefined);
  // those drawn are told apart by z
  const apart = data.covariates.z.map((z, i) => (z > 0) === (data.outcome[i] === 1) ? 1 : 0);
  assert.equal(refit(apart), undefined);
  const twice = { ...data.covariates, same: data.covariates.z };
  const dropped = logisticRegression({ ...data, covariates: twice });
  assert.equal(
    logisticRefit({ ...data, covariates: twice }, dropped)(new Float64Array(200).fill(1)),
    undefined,
  );
});
