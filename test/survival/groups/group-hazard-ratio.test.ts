import assert from "node:assert/strict";
import {
  coxRegression,
  fromLandmark,
  groupHazardRatio,
  groupRatioByPeriod,
  landmark,
  periodHazardRatios,
  proportionalHazardsTest,
  SeededRandom,
} from "mitral";

const random = new SeededRandom(11);
const n = 120;
const group = Uint8Array.from({ length: n }, (_, i) => i % 2);
const time = Float64Array.from(group, (one) => 0.1 + (one ? 8 : 5) * random.uniform());
const event = Uint8Array.from(group, () => random.integer(2));
const pair = Int32Array.from(group, (_, i) => i >> 1);

Deno.test("groupHazardRatio() is the ratio of the model with the group as its only term", () => {
  // reference: Therneau & Grambsch (2000), appendix, test data 1, ties by Efron: 1.676857
  const book = {
    time: [1, 1, 6, 6, 8, 9],
    event: [1, 0, 1, 1, 0, 1],
    group: [1, 1, 1, 0, 0, 0],
  };
  assert.ok(Math.abs(Math.log(groupHazardRatio(book).hazardRatio) - 1.676857) < 1e-6);
  // identity
  const covariates = { group: Float64Array.from(group) };
  const fit = coxRegression({ time, event, covariates, cluster: pair }, { confidence: 0.9 });
  const found = groupHazardRatio({ time, event, group, cluster: pair }, { confidence: 0.9 });
  const [term] = fit.terms;
  assert.deepEqual(
    [found.hazardRatio, found.lower, found.upper, found.pValue],
    [term!.hazardRatio, term!.lower, term!.upper, term!.pValue],
  );
  assert.equal(found.proportionalP, proportionalHazardsTest(fit).global.pValue);
});

Deno.test("groupHazardRatio() compares partners alone where pairs are compared within", () => {
  const within = groupHazardRatio({ time, event, group, cluster: pair }, {
    pairs: "compared-within",
  });
  const covariates = { group: Float64Array.from(group) };
  const [term] = coxRegression({ time, event, covariates, stratum: pair }).terms;
  assert.equal(within.hazardRatio, term!.hazardRatio);
  // by hand: of two partners the first death decides; ratio = such pairs of one kind to the other
  let [repairFirst, replacementFirst] = [0, 0];
  for (let i = 0; i < n; i += 2) {
    const [a, b] = [time[i]!, time[i + 1]!];
    if (a < b && event[i]) replacementFirst++;
    if (b < a && event[i + 1]) repairFirst++;
  }
  assert.ok(Math.abs(within.hazardRatio - repairFirst / replacementFirst) < 1e-6);
});

Deno.test("groupRatioByPeriod() and fromLandmark() are those of the estimators they rest on", () => {
  const covariates = { group: Float64Array.from(group) };
  const own = periodHazardRatios({ time, event, covariates }, { covariate: "group", cuts: [2] });
  const found = groupRatioByPeriod({ time, event, group }, { cuts: [2] });
  assert.deepEqual(
    found.periods.map(({ hazardRatio }) => hazardRatio),
    own.periods.map(({ hazardRatio }) => hazardRatio),
  );
  assert.equal(found.equalityP, own.equality.pValue);
  const view = landmark({ time, event }, 2);
  const later = fromLandmark({ time, event, group, cluster: pair }, 2);
  assert.deepEqual(later.counts, view.counts);
  assert.deepEqual(Array.from(later.data.group), view.select(group));
  assert.deepEqual(Array.from(later.data.cluster!), view.select(pair));
});
