import assert from "node:assert/strict";
import fc from "fast-check";
import {
  armBalance,
  armScores,
  armWeights,
  balancingWeights,
  DataError,
  effectiveSampleSize,
  entropyWeights,
  equalMeans,
  propensityScore,
  SeededRandom,
} from "mitral";
import { assertAllClose, assertClose } from "../../close.ts";
import { numeric, referenceCase, referenceRows } from "../../reference/load.ts";

function columnsOf(id: string) {
  const { columns } = referenceCase(id);
  const rows = referenceRows(`${id}.csv`);
  const names = columns.covariates!.split(", ");
  return {
    arm: rows.map((row) => row.arm!),
    covariates: Object.fromEntries(names.map((name) => [name, numeric(rows, name)])),
  };
}

// Reference: see the source of the cases.
for (const id of ["arms-veteran", "arms-three-sim"]) {
  Deno.test(`armScores() agree with the case ${id}`, () => {
    const { expected, tolerance } = referenceCase(id);
    const found = armScores(columnsOf(id));
    assert.deepEqual(found.arms, expected.arms);
    assert.equal(found.converged, true);
    assertClose(found.logLikelihood, expected.logLikelihood, tolerance);
    for (const [arm, wanted] of Object.entries<number[]>(expected.coefficients)) {
      assert.deepEqual(Object.keys(found.coefficients[arm]!), expected.terms);
      assertAllClose(Object.values(found.coefficients[arm]!), wanted, tolerance, arm);
      const errors = Object.values(found.standardErrors[arm]!);
      assertAllClose(errors, expected.standardErrors[arm], tolerance, `${arm} errors`);
    }
    expected.rows.forEach((row: number, i: number) =>
      assertAllClose(
        found.score.map((column) => column[row - 1]!),
        expected.probabilitiesAtRows[i],
        tolerance,
        `row ${row}`,
      )
    );
    const smallest = found.score.map((column) => Math.min(...column));
    assertClose(Math.min(...smallest), expected.smallestProbability, tolerance);
  });

  Deno.test(`armWeights() and armBalance() agree with the case ${id}`, () => {
    const { expected, options, tolerance } = referenceCase(id);
    const data = columnsOf(id);
    const scores = armScores(data);
    const check = (
      found: ReturnType<typeof armBalance>,
      wanted: {
        variable: string[];
        largestPairDenominator: number[];
        pairOfLargest: string[];
        largestAllArmsDenominator: number[];
      },
    ) => {
      assert.deepEqual(found.rows.map(({ covariate }) => covariate), wanted.variable);
      const largest = found.rows.map((row) => row.largest);
      assertAllClose(largest, wanted.largestPairDenominator, tolerance, "largest");
      const ofAll = found.rows.map((row) => row.largestOfAll);
      assertAllClose(ofAll, wanted.largestAllArmsDenominator, tolerance, "of all");
      assert.deepEqual(found.rows.map(({ pair }) => pair.join(" | ")), wanted.pairOfLargest);
    };
    check(armBalance(data), expected.balanceUnweighted);
    const estimands = {
      overlap: "overlap",
      everyone: "everyone",
      [`target:${options.target}`]: { target: options.target },
    } as const;
    // deno-lint-ignore no-explicit-any -- every case has a shape of its own
    for (const [name, wanted] of Object.entries<any>(expected.weights)) {
      const weight = armWeights({ arm: data.arm, scores }, { estimand: estimands[name]! });
      const atRows = expected.rows.map((row: number) => weight[row - 1]);
      assertAllClose(atRows, wanted.weightAtRows, tolerance, `${name} weights`);
      const balance = armBalance({ ...data, weight });
      check(balance, wanted.balance);
      for (const { arm, n, weight: total, effective } of balance.arms) {
        assert.equal(n, expected.n[arm]);
        assertClose(total, wanted.sumByArm[arm], tolerance);
        assertClose(effective, wanted.effectiveSizeByArm[arm], tolerance);
        const own = weight.filter((_, i) => data.arm[i] === arm);
        assertClose(effectiveSampleSize(own), effective);
        assertClose(Math.max(...own), wanted.largestByArm[arm], tolerance);
      }
    }
  });
}

function simulated(n: number, seed: number) {
  const random = new SeededRandom(seed);
  const age = Float64Array.from({ length: n }, () => 60 + 10 * random.normal());
  const lvef = Float64Array.from({ length: n }, () => 50 + 8 * random.normal());
  const arm = Array.from(age, (value, i) => {
    const odds = [1, Math.exp((value - 60) / 20), Math.exp((50 - lvef[i]!) / 10)];
    return ["c", "a", "b"][random.choice(odds)]!;
  });
  return { arm, covariates: { age, lvef } };
}

// Identity: one arm against one other is logistic regression, and its weights those of two groups.
Deno.test("armScores() and armWeights() of two arms are those of a propensity score", () => {
  const { arm, covariates } = simulated(300, 1);
  const keep = arm.map((one) => one !== "c");
  const two = {
    arm: arm.filter((_, i) => keep[i]),
    covariates: {
      age: covariates.age.filter((_, i) => keep[i]),
      lvef: covariates.lvef.filter((_, i) => keep[i]),
    },
  };
  const treated = two.arm.map((one) => one === "b" ? 1 : 0);
  const { score, fit } = propensityScore({ treated, covariates: two.covariates });
  const scores = armScores(two);
  assertAllClose(scores.score[1]!, score);
  assertClose(scores.logLikelihood, fit.logLikelihood);
  for (const estimand of ["everyone", "overlap"] as const) {
    assertAllClose(
      armWeights({ arm: two.arm, scores }, { estimand }),
      balancingWeights({ treated, score }, { estimand }),
    );
  }
  assertAllClose(
    armWeights({ arm: two.arm, scores }, { estimand: { target: "b" } }),
    balancingWeights({ treated, score }, { estimand: "treated" }),
  );
});

Deno.test("armScores() sum to 1, fit each arm's number, and do not depend on names or rows", () => {
  fc.assert(
    fc.property(fc.integer({ min: 0, max: 1000 }), (seed) => {
      const data = simulated(120, seed);
      const { score, arms, converged } = armScores(data);
      assert.ok(converged);
      data.arm.forEach((_, i) => assertClose(score.reduce((sum, own) => sum + own[i]!, 0), 1));
      // the score equations of the constants: chances add up to the arm's rows
      arms.forEach((arm, k) =>
        assertClose(
          score[k]!.reduce((sum, e) => sum + e, 0),
          data.arm.filter((one) => one === arm).length,
          { relative: 1e-7, absolute: 0 },
        )
      );
      const renamed = data.arm.map((one) => ({ a: "z", b: "y", c: "x" })[one]!);
      const others = armScores({ ...data, arm: renamed });
      assert.deepEqual(others.arms, ["x", "y", "z"]);
      assertAllClose(others.score[2]!, score[0]!, { relative: 1e-7, absolute: 1e-12 });
    }),
    { numRuns: 20 },
  );
});

Deno.test("armScores() sort arms as text, numbers too", () => {
  const { covariates, arm } = simulated(90, 3);
  const numbered = arm.map((one) => ({ a: 9, b: 10, c: 2 })[one]!);
  assert.deepEqual(armScores({ arm: numbered, covariates }).arms, [10, 2, 9]);
});

Deno.test("armScores() name what separates the arms and what is left out", () => {
  const { arm, covariates } = simulated(90, 4);
  const apart = Float64Array.from(arm, (one) => one === "b" ? 1 : 0);
  const twice = covariates.age.map((value) => 2 * value + 1);
  const found = armScores({ arm, covariates: { ...covariates, apart, twice } });
  assert.equal(found.converged, false);
  assert.ok(found.separated.includes("apart"));
  assert.match(found.reason!, /tell some arms apart/);
  assert.deepEqual(found.dropped, ["twice"]);
});

Deno.test("armScores(), armWeights() and armBalance() refuse what they cannot use", () => {
  const { arm, covariates } = simulated(60, 5);
  assert.throws(() => armScores({ arm: arm.map(() => "a"), covariates }), /two arms or more/);
  assert.throws(() => armScores({ arm: ["1", 1, "1", 1], covariates }), DataError);
  assert.throws(() => armScores({ arm: arm.slice(1), covariates }), /covariates.age/);
  const scores = armScores({ arm, covariates });
  assert.throws(
    () => armWeights({ arm, scores }, { estimand: { target: "d" } }),
    /estimand.target must be one of a, b, c, got "d"/,
  );
  const none = { ...scores, score: scores.score.map((column) => column.map(() => 0)) };
  assert.throws(() => armWeights({ arm, scores: none }, { estimand: "overlap" }), /above 0/);
  const other = arm.map((one) => one === "a" ? "d" : one);
  assert.throws(() => armWeights({ arm: other, scores }, { estimand: "overlap" }), /scores.arms/);
  const alone = ["z", ...arm.slice(1)];
  assert.throws(() => armBalance({ arm: alone, covariates }), /z in two rows/);
});

function overlapOf(data: ReturnType<typeof simulated>) {
  const scores = armScores(data);
  const weight = armWeights({ arm: data.arm, scores }, { estimand: "overlap" });
  const share = weight.map((w, i) => w * scores.score[scores.arms.indexOf(data.arm[i]!)]![i]!);
  return { ...data, weight, share };
}

Deno.test("equalMeans() gives every arm the population's means, and each arm its own total", () => {
  fc.assert(
    fc.property(fc.integer({ min: 0, max: 1000 }), (seed) => {
      const data = overlapOf(simulated(150, seed));
      const { weight, reached } = equalMeans(data);
      assert.ok(reached && weight.every((w) => w > 0));
      const total = data.share.reduce((sum, one) => sum + one, 0);
      const { rows, arms } = armBalance({ ...data, weight });
      rows.forEach(({ covariate, means }) => {
        const column = data.covariates[covariate as "age" | "lvef"];
        const wanted = column.reduce((sum, x, i) => sum + x * data.share[i]!, 0) / total;
        for (const mean of means) assertClose(mean, wanted, { relative: 0, absolute: 1e-6 });
      });
      const before = armBalance(data).arms;
      arms.forEach((one, k) => assertClose(one.weight, before[k]!.weight));
      // of all weights with these means, what an odds of the covariates alone can move
      const odds = weight.map((w, i) => Math.log(w / data.weight[i]!));
      const own = [...odds.keys()].filter((i) => data.arm[i] === "a").slice(0, 4);
      const [p, q, r, s] = own.map((i) => [data.covariates.age[i]!, data.covariates.lvef[i]!]);
      const volume = (a: number[], b: number[], c: number[]) =>
        (b[0]! - a[0]!) * (c[1]! - a[1]!) - (c[0]! - a[0]!) * (b[1]! - a[1]!);
      const area = volume(p!, q!, r!);
      if (Math.abs(area) < 10) return; // three rows nearly on a line fix no plane
      const at = (own: number) => odds[own]!;
      const fourth = at(own[0]!) * volume(s!, q!, r!) / area +
        at(own[1]!) * volume(p!, s!, r!) / area + at(own[2]!) * volume(p!, q!, s!) / area;
      assertClose(at(own[3]!), fourth, { relative: 1e-6, absolute: 1e-6 });
    }),
    { numRuns: 20 },
  );
});

// Identity: two arms about their overlap are equal in means already, and nothing moves.
Deno.test("equalMeans() leaves two arms as they are, and finds those of entropyWeights() from equal ones", () => {
  const { arm, covariates } = simulated(300, 4);
  const keep = [...arm.keys()].filter((i) => arm[i] !== "c");
  const two = {
    arm: keep.map((i) => arm[i]!),
    covariates: {
      age: Float64Array.from(keep, (i) => covariates.age[i]!),
      lvef: Float64Array.from(keep, (i) => covariates.lvef[i]!),
    },
  };
  const data = overlapOf(two);
  assertAllClose(equalMeans(data).weight, data.weight);
  const treated = two.arm.map((one) => one === "b" ? 1 : 0);
  const even = new Float64Array(two.arm.length).fill(1);
  const entropy = entropyWeights({ treated, covariates: two.covariates }, { estimand: "everyone" });
  const { weight } = equalMeans({ ...two, weight: even, share: even });
  const scaled = (code: number, values: Float64Array) => {
    const own = values.filter((_, i) => treated[i] === code);
    const sum = own.reduce((all, one) => all + one, 0);
    return own.map((one) => one / sum);
  };
  for (const code of [0, 1]) {
    const near = { relative: 1e-6, absolute: 0 };
    assertAllClose(scaled(code, weight), scaled(code, entropy.weight), near);
  }
});

Deno.test("equalMeans() leaves weights where an arm cannot have the means, and names a bad column", () => {
  // nobody in arm b is above 1, and half of the population's weight is at 5
  const data = {
    arm: ["a", "a", "a", "b", "b", "b"],
    covariates: { x: [0, 5, 5, 0, 1, 1] },
    weight: [1, 1, 1, 1, 1, 1],
    share: [1, 1, 1, 1, 1, 1],
  };
  const { weight, reached } = equalMeans(data);
  assert.equal(reached, false);
  assert.deepEqual([...weight], data.weight);
  assert.throws(() => equalMeans({ ...data, weight: [1, 1, 1, 1, 1, 0] }), DataError);
  assert.throws(() => equalMeans({ ...data, share: [0, 0, 0, 0, 0, 0] }), DataError);
  assert.throws(() => equalMeans({ ...data, arm: data.arm.slice(1) }), DataError);
});
