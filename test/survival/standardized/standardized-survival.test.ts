import assert from "node:assert/strict";
import { DataError, doublyRobustSurvival, standardizedSurvival, survivalDifference } from "mitral";
import { assertClose } from "../../close.ts";
import { invented, ownModel } from "./invented.ts";

const times = [1, 5, 8];

// Identity: with nothing to adjust for, both are Kaplan-Meier, ties and all.
Deno.test("standardizedSurvival() and doublyRobustSurvival() are Kaplan-Meier without covariates", () => {
  const data = { ...invented(3, 900, { ties: true }), covariates: {} };
  const plain = survivalDifference({ time: data.time, event: data.event, group: data.treated }, {
    times,
  });
  const standardized = standardizedSurvival(data, { times });
  const robust = doublyRobustSurvival(data, { times });
  plain.forEach(({ groups, difference }, k) => {
    const [one, other] = [standardized.contrasts[k]!, robust.contrasts[k]!];
    groups.forEach(({ estimate, standardError, lower, upper }, g) => {
      assertClose(one.groups[g]!.estimate, estimate);
      assertClose(one.groups[g]!.standardError, standardError);
      assertClose(one.groups[g]!.lower, lower);
      assertClose(one.groups[g]!.upper, upper);
      assertClose(other.groups[g]!.estimate, estimate);
    });
    assertClose(one.difference.standardError, difference.standardError);
    assertClose(one.difference.pValue, difference.pValue);
    // 1 / G from exp(-H), not a product: the errors agree to 1 / n only
    assertClose(other.difference.standardError, difference.standardError, {
      relative: 0.01,
      absolute: 0,
    });
  });
});

// Identity: averaged over one row's covariates alone, the g-formula is the product over the steps
// of the group's own model there.
Deno.test("standardizedSurvival() averaged over one patient predicts that patient", () => {
  const data = invented(5, 400);
  const target = data.time.map((_, i) => i === 7 ? 1 : 0);
  const { contrasts } = standardizedSurvival({ ...data, target }, { times });
  for (const group of [0, 1] as const) {
    const { baseline: { time, cumulativeHazard }, riskOf } = ownModel(data, group);
    const risk = riskOf(7);
    contrasts.forEach(({ time: t, groups }) => {
      let survival = 1;
      for (let u = 0; u < time.length && time[u]! <= t; u++) {
        survival *= 1 - risk * (cumulativeHazard[u]! - (cumulativeHazard[u - 1] ?? 0));
      }
      assertClose(groups[group]!.estimate, survival);
    });
  }
});

Deno.test("hard edges: beyond follow-up, one group, no events, bad columns, inputs untouched", () => {
  const data = invented(6, 80);
  const before = structuredClone(data);
  const beyond = Math.max(...data.time) + 1;
  for (const run of [standardizedSurvival, doublyRobustSurvival]) {
    assert.ok(Number.isNaN(run(data, { times: [beyond] }).contrasts[0]!.difference.estimate));
    const alive = run({ ...data, event: data.event.map(() => 0) }, { times: [0.5] }).contrasts[0]!;
    assert.equal(alive.difference.estimate, 0);
    assert.ok(Number.isNaN(alive.difference.pValue));
    const alone = data.treated.map(() => 1);
    assert.throws(() => run({ ...data, treated: alone }, { times }), /treated must be 1 in some/);
    const hole = { x: data.covariates.x.map((v, i) => i === 3 ? NaN : v) };
    assert.throws(() => run({ ...data, covariates: hole }, { times }), /covariates\.x\[3\]/);
    const certain = { ...data, event: data.event.map(() => 1) };
    assert.ok(Number.isFinite(run(certain, { times: [1] }).contrasts[0]!.difference.estimate));
  }
  assert.throws(
    () => doublyRobustSurvival(data, { times, models: { censoring: ["w"] } }),
    (error) => error instanceof DataError && /models\.censoring/.test(error.message),
  );
  assert.throws(
    () => standardizedSurvival({ ...data, target: data.time.map(() => 0) }, { times }),
    /target must be above 0/,
  );
  assert.deepEqual(data, before);
});
