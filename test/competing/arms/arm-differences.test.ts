import assert from "node:assert/strict";
import {
  armIncidenceDifferences,
  armScores,
  armSurvivalDifferences,
  armWeights,
  incidenceDifference,
  SeededRandom,
  survivalDifference,
} from "mitral";
import { assertClose } from "../../close.ts";
import { numeric, referenceCase, referenceRows } from "../../reference/load.ts";

// Reference: see the source of the cases.
for (const id of ["arms-veteran", "arms-three-sim"]) {
  Deno.test(`armSurvivalDifferences() agree with the case ${id}`, () => {
    const { columns, expected, options, tolerance } = referenceCase(id);
    const rows = referenceRows(`${id}.csv`);
    const arm = rows.map((row) => row.arm!);
    const names = columns.covariates!.split(", ");
    const covariates = Object.fromEntries(names.map((name) => [name, numeric(rows, name)]));
    const scores = armScores({ arm, covariates });
    const follow = {
      time: numeric(rows, columns.time!),
      event: numeric(rows, columns.event!),
      arm,
    };
    for (const estimand of ["overlap", "everyone"] as const) {
      const weight = armWeights({ arm, scores }, { estimand });
      const { times } = options;
      const found = armSurvivalDifferences({ ...follow, weight }, { times });
      const wanted = expected.weights[estimand];
      found.forEach((at, k) => {
        for (const { arm: label, estimate, standardError } of at.arms) {
          assertClose(estimate, wanted.survival[label].survival[k], tolerance);
          assertClose(standardError, wanted.survival[label].standardError[k], tolerance);
        }
        at.differences.forEach((pair, j) => {
          const reference = wanted.differences[j];
          assert.equal(pair.direction, reference.contrast.replace(" minus ", " - "));
          assertClose(pair.estimate, reference.difference[k], tolerance);
          assertClose(pair.standardError, reference.standardError[k], tolerance);
          if (pair.fewEvents) return;
          assertClose(pair.lower, reference.lower[k], tolerance);
          assertClose(pair.upper, reference.upper[k], tolerance);
          assert.ok(pair.simultaneous.lower < pair.lower && pair.simultaneous.upper > pair.upper);
          assert.ok(pair.simultaneous.pValue >= pair.pValue);
        });
      });
    }
  });
}

function invented(random: SeededRandom, n: number, rates: number[]) {
  const arm = Array.from({ length: n }, (_, i) => i % rates.length);
  const times = arm.map((one) => random.exponential(rates[one]!));
  const ends = arm.map(() => 3 + 5 * random.uniform());
  return {
    arm,
    time: times.map((t, i) => Math.min(t, ends[i]!)),
    event: times.map((t, i) => t <= ends[i]! ? 1 : 0),
  };
}

// Identity: of two arms there is one difference, and nothing to allow for.
Deno.test("armIncidenceDifferences() of two arms are those of two groups", () => {
  const { arm, ...follow } = invented(new SeededRandom(2), 200, [0.1, 0.2]);
  const cluster = arm.map((_, i) => i >> 1);
  const [found] = armIncidenceDifferences({ ...follow, arm, cluster }, { cause: 1, times: [3] });
  const [wanted] = incidenceDifference({ ...follow, group: arm, cluster }, {
    cause: 1,
    times: [3],
  });
  const [pair] = found!.differences;
  assertClose(pair!.estimate, wanted!.difference.estimate);
  assertClose(pair!.standardError, wanted!.difference.standardError);
  assertClose(pair!.simultaneous.upper, wanted!.difference.upper);
  assertClose(pair!.simultaneous.pValue, wanted!.difference.pValue);
  const [alive] = armSurvivalDifferences({ ...follow, arm }, { times: [3], reference: 1 });
  const [two] = survivalDifference({ ...follow, group: arm }, { times: [3], reference: 1 });
  assert.equal(alive!.differences[0]!.direction, "0 - 1");
  assertClose(alive!.differences[0]!.lower, two!.difference.lower);
});

// Published: Tukey's studentised range with infinite degrees of freedom, q = 3.314 for three and
// 3.633 for four alike arms at 95 % (tables, from memory); over the root of 2.
Deno.test("armIncidenceDifferences() reach as far as Tukey's range where arms are alike", () => {
  for (const [arms, range] of [[3, 3.314], [4, 3.633]] as const) {
    const rates = Array(arms).fill(0.15);
    const data = invented(new SeededRandom(arms), 4000, rates);
    const [found] = armIncidenceDifferences(data, { cause: 1, times: [3] });
    assertClose(found!.critical, range / Math.SQRT2, { relative: 0, absolute: 0.015 });
    assert.equal(found!.differences.length, arms * (arms - 1) / 2);
  }
});

// Published: Tukey's studentised range of three means with ten degrees of freedom, 3.877 at 95 %,
// and Student's t with ten, 2.228 (tables, from memory). Errors grow by sqrt(11 / 10)
// with 11 clusters.
Deno.test("armIncidenceDifferences() of few clusters reach as far as Student's t, and further", () => {
  const data = invented(new SeededRandom(3), 4000, [0.15, 0.15, 0.15]);
  const options = { cause: 1, times: [3] };
  const [normal] = armIncidenceDifferences(data, options);
  const [few] = armIncidenceDifferences(data, { ...options, degreesOfFreedom: 10 });
  assertClose(few!.critical, 3.877 / Math.SQRT2, { relative: 0, absolute: 0.02 });
  const [wide, narrow] = [few!.differences[0]!, normal!.differences[0]!];
  assertClose(wide.standardError, narrow.standardError * Math.sqrt(1.1));
  const reach = (wide.upper - wide.estimate) / wide.standardError;
  assertClose(reach, 2.228, { relative: 0, absolute: 0.001 });
  assert.ok(wide.pValue > narrow.pValue);
  assert.ok(wide.simultaneous.upper > wide.upper);
  assert.ok(few!.arms[0]!.upper > normal!.arms[0]!.upper);
  assert.throws(
    () => armIncidenceDifferences(data, { ...options, degreesOfFreedom: 0 }),
    /Infinity/,
  );
});

Deno.test("armIncidenceDifferences() leave room where an arm has no event, and refuse one arm", () => {
  const data = invented(new SeededRandom(5), 300, [0.1, 0.2, 0.15]);
  const none = { ...data, event: data.event.map((e, i) => data.arm[i] === 0 ? 0 : e) };
  const [found] = armIncidenceDifferences(none, { cause: 1, times: [3] });
  const [first] = found!.arms;
  assert.equal(first!.estimate, 0);
  assert.ok(first!.upper > 0);
  const [pair, , last] = found!.differences;
  assert.deepEqual([pair!.fewEvents, last!.fewEvents], [true, false]);
  assert.ok(pair!.simultaneous.lower < pair!.lower);
  const alone = { ...data, arm: data.arm.map(() => 0) };
  assert.throws(() => armIncidenceDifferences(alone, { cause: 1, times: [3] }), /two arms or more/);
  assert.throws(
    () =>
      armIncidenceDifferences({ ...data, group: data.arm } as typeof data, {
        cause: 1,
        times: [3],
      }),
    /group must be left out/,
  );
});
