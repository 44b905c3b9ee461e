import assert from "node:assert/strict";
import {
  coxRegression,
  DataError,
  SeededRandom,
  subdistributionRegression,
  twoHazardRatios,
} from "mitral";

const random = new SeededRandom(4);
const n = 300;
const group = Uint8Array.from({ length: n }, (_, i) => i % 2);
const first = Float64Array.from(group, (g) => -Math.log(random.uniform()) * (g === 1 ? 6 : 12));
const other = Float64Array.from(group, () => -Math.log(random.uniform()) * 10);
const time = first.map((t, i) => Math.min(t, other[i]!, 8));
const event = Uint8Array.from(time, (t, i) => t === 8 ? 0 : t === first[i] ? 1 : 2);
const cluster = group.map((_, i) => Math.floor(i / 2));

Deno.test("twoHazardRatios() are those of the two models (identity)", () => {
  const [own, share] = twoHazardRatios({ time, event, group, cluster }, { cause: 1 });
  const covariates = { group: Float64Array.from(group) };
  const cox = coxRegression({
    time,
    event: event.map((e) => e === 1 ? 1 : 0),
    covariates,
    cluster,
  });
  const sub = subdistributionRegression({ time, event, covariates, cluster }, { cause: 1 });
  assert.equal(own!.kind, "cause-specific");
  assert.equal(own!.hazardRatio, cox.terms[0]!.hazardRatio);
  assert.equal(own!.lower, cox.terms[0]!.lower);
  assert.equal(share!.kind, "subdistribution");
  assert.equal(share!.hazardRatio, sub.terms[0]!.hazardRatio);
  // twice the rate by construction
  assert.ok(own!.lower < 2 && 2 < own!.upper);
  assert.ok(own!.proportionalP > 0.01);
});

Deno.test("twoHazardRatios() refuses a cause that nobody had", () => {
  assert.throws(() => twoHazardRatios({ time, event, group }, { cause: 3 }), DataError);
});
