import assert from "node:assert/strict";
import {
  areaUnderCurve,
  brierScore,
  concordance,
  coxRegression,
  heldOut,
  optimism,
  SeededRandom,
} from "mitral";
import { assertClose } from "../../close.ts";

const n = 150;
const random = new SeededRandom(6);
const covariates = {
  x: Float64Array.from({ length: n }, () => random.normal()),
  noise: Float64Array.from({ length: n }, () => random.normal()),
};
const failure = covariates.x.map((x) => random.exponential(0.2 * Math.exp(x)));
const lost = Float64Array.from({ length: n }, () => 8 * random.uniform());
const time = failure.map((t, i) => Math.min(t, lost[i]!));
const event = failure.map((t, i) => t <= lost[i]! ? 1 : 0);

const pick = (column: Float64Array, rows: ArrayLike<number>) =>
  Float64Array.from(rows, (row) => column[row]!);
const followUp = (rows: ArrayLike<number>) => ({
  time: pick(time, rows),
  event: pick(event, rows),
});
const columns = (rows: ArrayLike<number>) => ({
  x: pick(covariates.x, rows),
  noise: pick(covariates.noise, rows),
});
const make = (rows: ArrayLike<number>) =>
  coxRegression({ ...followUp(rows), covariates: columns(rows) });
type Model = ReturnType<typeof make>;

const scoreOf = ({ terms }: Model, rows: ArrayLike<number>) =>
  Float64Array.from(
    rows,
    (row) =>
      terms[0]!.coefficient * covariates.x[row]! + terms[1]!.coefficient * covariates.noise[row]!,
  );
const riskOf = (model: Model, rows: ArrayLike<number>, at: number) =>
  Float64Array.from(
    rows,
    (row) =>
      1 -
      model.survivalFor({ x: covariates.x[row]!, noise: covariates.noise[row]! }, [at])
        .survival[0]!,
  );

// Identity: apparent is the measure itself; a model that chose among noise flatters itself.
Deno.test("concordance, area and Brier score plug into optimism()", () => {
  const all = Int32Array.from({ length: n }, (_, row) => row);
  const measures: Record<string, (model: Model, rows: Int32Array) => number> = {
    concordance: (model, rows) =>
      concordance({ ...followUp(rows), score: scoreOf(model, rows) }).estimate,
    area: (model, rows) =>
      areaUnderCurve({ ...followUp(rows), score: scoreOf(model, rows) }, { at: 3 }).estimate,
    brier: (model, rows) =>
      brierScore({ ...followUp(rows), predicted: riskOf(model, rows, 3) }, { at: 3 }).estimate,
  };
  for (const [name, measure] of Object.entries(measures)) {
    const found = optimism(n, { make, measure }, { seed: 2, replicates: 20 });
    assertClose(found.apparent, measure(make(all), all));
    assert.equal(found.failed, 0, name);
    // the better the score looks, the higher the first two and the lower the third
    const flattery = name === "brier" ? -found.optimism : found.optimism;
    assert.ok(flattery > -0.01 && flattery < 0.1, `${name}: ${found.optimism}`);
  }
});

// By simulation: held-out predictions still tell the patients apart, by the strong covariate.
Deno.test("concordance, area and Brier score judge held-out predictions", () => {
  const score = heldOut(n, (made, left) => scoreOf(make(made), left), { seed: 3 });
  const predicted = heldOut(n, (made, left) => riskOf(make(made), left, 3), { seed: 3 });
  assert.ok(concordance({ time, event, score }).estimate > 0.6);
  assert.ok(areaUnderCurve({ time, event, score }, { at: 3 }).estimate > 0.65);
  const { estimate, reference } = brierScore({ time, event, predicted }, { at: 3 });
  assert.ok(estimate < reference);
});
