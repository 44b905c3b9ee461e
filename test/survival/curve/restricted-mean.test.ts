import assert from "node:assert/strict";
import { DataError, kaplanMeier, restrictedMeanDifference, restrictedMeanSurvival } from "mitral";
import { assertClose } from "../../close.ts";
import { numeric, referenceCase, referenceRows } from "../../reference/load.ts";

type Close = { relative: number; absolute: number };

function grouped(file: string, names: { time: string; event: string; group: string }) {
  const rows = referenceRows(file).filter((row) =>
    row[names.group] !== "" && row[names.group] !== "NA"
  );
  return {
    time: numeric(rows, names.time),
    event: numeric(rows, names.event),
    group: rows.map((row) => row[names.group]!),
  };
}

// deno-lint-ignore no-explicit-any -- expected values as they are in the case
function check(data: ReturnType<typeof grouped>, expected: any, tolerance: Close) {
  const horizon = Object.values<{ tau: number }>(expected)[0]!.tau;
  const result = restrictedMeanDifference(data, { horizon });
  for (const found of result.groups) {
    const wanted = expected[String(found.group)];
    assertClose(found.estimate, wanted.rmst, tolerance, "mean");
    assertClose(found.standardError, wanted.se, tolerance, "standard error");
    assertClose(found.lower, wanted.lower, tolerance, "lower");
    assertClose(found.upper, wanted.upper, tolerance, "upper");
    const rows = data.group.map((_, i) => i).filter((i) => data.group[i] === found.group);
    const alone = restrictedMeanSurvival({
      time: rows.map((i) => data.time[i]!),
      event: rows.map((i) => data.event[i]!),
    }, { horizon });
    assertClose(alone.estimate, wanted.rmst, tolerance, "mean alone");
    assertClose(alone.standardError, wanted.se, tolerance, "standard error alone");
  }
  const { difference } = result;
  assertClose(difference.estimate, expected.difference.estimate, tolerance, "difference");
  assertClose(difference.standardError, expected.difference.se, tolerance, "its error");
  assertClose(difference.lower, expected.difference.lower, tolerance, "its lower limit");
  assertClose(difference.upper, expected.difference.upper, tolerance, "its upper limit");
  assertClose(difference.pValue, expected.difference.p, tolerance, "its p value");
}

Deno.test("restrictedMeanDifference() matches reference case rmst-freireich", () => {
  const { data, expected, tolerance } = referenceCase("rmst-freireich");
  check(grouped(data!, { time: "time", event: "status", group: "arm" }), expected, tolerance);
});

Deno.test("restrictedMeanDifference() matches reference case rmst-lung at both horizons", () => {
  const { data, expected, tolerance } = referenceCase("rmst-lung");
  const lung = grouped(data!, { time: "time", event: "status", group: "sex" });
  check(lung, expected.tau365, tolerance);
  check(lung, expected.tau730, tolerance);
});

Deno.test("restrictedMeanDifference() matches reference case rmst-pbc", () => {
  const { data, expected, tolerance } = referenceCase("rmst-pbc");
  check(grouped(data!, { time: "time", event: "death", group: "trt" }), expected, tolerance);
});

// Reference: R 4.2.2, survival 3.5-3, to the digits shown.
Deno.test("restrictedMeanDifference() gives the lung difference to the last woman's time", () => {
  const lung = grouped("lung.csv", { time: "time", event: "status", group: "sex" });
  const { groups, difference } = restrictedMeanDifference(lung, { horizon: 965 });
  const printed = { relative: 0, absolute: 5e-3 };
  assertClose(groups[0]!.estimate, 324.05, printed);
  assertClose(groups[1]!.estimate, 455.9, printed);
  assertClose(difference.estimate, 131.86, printed);
  assertClose(difference.lower, 53.93, printed);
  assertClose(difference.upper, 209.78, printed);
});

// Source: the pbc example of a published vignette on restricted means, ten years; from memory:
// 7.146 and 7.283, difference -0.137 (-0.939, 0.665) the other way round.
Deno.test("restrictedMeanDifference() gives the printed pbc difference at ten years", () => {
  const pbc = grouped("pbc.csv", { time: "time", event: "death", group: "trt" });
  const years = { ...pbc, time: pbc.time.map((days) => days / 365.25) };
  const { groups, difference } = restrictedMeanDifference(years, { horizon: 10 });
  const printed = { relative: 0, absolute: 5e-4 };
  assertClose(groups[0]!.estimate, 7.146, printed);
  assertClose(groups[1]!.estimate, 7.283, printed);
  assertClose(difference.estimate, 0.137, printed);
  assertClose(difference.lower, -0.665, printed);
  assertClose(difference.upper, 0.939, printed);
});

// By hand: S = 1, 2/3, 1/3 over [0,1), [1,2), [2,3); area to 2 is 5/3. Variance: the first event
// has A = 2/3, d / (n (n - d)) = 1/6: 2/27; the second leaves no area. Ratio of log by delta.
Deno.test("restrictedMeanSurvival() gives three subjects by hand, and one cut at an event", () => {
  const data = { time: [1, 2, 3], event: [1, 1, 1] };
  const { estimate, standardError } = restrictedMeanSurvival(data, { horizon: 2 });
  assertClose(estimate, 5 / 3);
  assertClose(standardError, Math.sqrt(2 / 27));
  assertClose(restrictedMeanSurvival(data, { horizon: 0.5 }).estimate, 0.5);
  assert.equal(restrictedMeanSurvival(data, { horizon: 0.5 }).standardError, 0);
});

Deno.test("restrictedMeanDifference() gives a ratio by the delta method on the log scale", () => {
  const lung = grouped("lung.csv", { time: "time", event: "status", group: "sex" });
  const { groups: [men, women], ratio } = restrictedMeanDifference(lung, { horizon: 365 });
  assertClose(ratio.estimate, women!.estimate / men!.estimate);
  const variance = (men!.standardError / men!.estimate) ** 2 +
    (women!.standardError / women!.estimate) ** 2;
  assertClose(ratio.standardError, Math.sqrt(variance));
  assert.ok(ratio.lower < ratio.estimate && ratio.estimate < ratio.upper);
});

/** Forty weighted rows of the reference data, some of them entering late, and pairs of them. */
function weightedPairs() {
  const rows = referenceRows("lung-weighted.csv").slice(0, 40);
  const data = {
    time: numeric(rows, "time"),
    event: numeric(rows, "status"),
    weight: numeric(rows, "w"),
    entry: numeric(rows, "time").map((t, i) => i % 3 === 0 ? t / 3 : 0),
  };
  const cluster = rows.map((_, i) => i >> 1);
  return { data, cluster };
}

// Identity: the mean's influence is the integral of the curve's, so the robust standard error of a
// mean is that of a fine sum of S(t) dt; checked by moving each weight a little.
Deno.test("restrictedMeanSurvival() has the robust variance that moving each weight gives", () => {
  const { data, cluster } = weightedPairs();
  const horizon = 400;
  const moved = data.weight.map((w, i) => {
    const at = (factor: number) => {
      const weight = data.weight.slice();
      weight[i] = w * factor;
      return restrictedMeanSurvival({ ...data, weight }, { horizon }).estimate;
    };
    return (at(1 + 1e-4) - at(1 - 1e-4)) / 2e-4;
  });
  const near = { relative: 1e-6, absolute: 0 };
  const own = Math.hypot(...moved);
  assertClose(restrictedMeanSurvival(data, { horizon }).standardError, own, near);
  const paired = Math.hypot(
    ...Array.from(moved).flatMap((u, i) => i % 2 ? [u + moved[i - 1]!] : []),
  );
  assertClose(
    restrictedMeanSurvival({ ...data, cluster }, { horizon }).standardError,
    paired,
    near,
  );
});

Deno.test("kaplanMeier() has the robust variance that moving each weight gives", () => {
  const { data, cluster } = weightedPairs();
  const times = [100, 250, 400, 600];
  const moved = Array.from(data.weight, (w, i) => {
    const at = (factor: number) => {
      const weight = data.weight.slice();
      weight[i] = w * factor;
      return kaplanMeier({ ...data, weight }).at(times).survival;
    };
    const [up, down] = [at(1 + 1e-4), at(1 - 1e-4)];
    return up.map((s, j) => (s - down[j]!) / 2e-4);
  });
  const own = kaplanMeier(data).at(times).standardError;
  const paired = kaplanMeier({ ...data, cluster }).at(times).standardError;
  times.forEach((_, j) => {
    const near = { relative: 1e-6, absolute: 0 };
    assertClose(own[j]!, Math.hypot(...moved.map((u) => u[j]!)), near);
    const sums = moved.flatMap((u, i) => i % 2 ? [u[j]! + moved[i - 1]![j]!] : []);
    assertClose(paired[j]!, Math.hypot(...sums), near);
  });
});

// By hand: a pair of equal rows, one in each group: the means move together, so no error is left.
Deno.test("restrictedMeanDifference() takes the covariance of pairs into account", () => {
  const time = [1, 1, 2, 2, 4, 4];
  const data = { time, event: time.map(() => 1), group: time.map((_, i) => i % 2) };
  const paired = restrictedMeanDifference({ ...data, cluster: time }, { horizon: 3 });
  assertClose(paired.difference.standardError, 0, { relative: 0, absolute: 1e-7 });
  assert.ok(restrictedMeanDifference(data, { horizon: 3 }).difference.standardError > 0.5);
});

Deno.test("restrictedMeanSurvival() refuses a horizon past what was observed", () => {
  const data = { time: [1, 2], event: [1, 0] };
  assert.throws(() => restrictedMeanSurvival(data, { horizon: 2.1 }), /horizon must be at most/);
  assertClose(restrictedMeanSurvival(data, { horizon: 2 }).estimate, 1.5);
  // nobody is left: the curve is known to be 0 from there on
  const ended = { time: [1, 2], event: [1, 1] };
  assertClose(restrictedMeanSurvival(ended, { horizon: 10 }).estimate, 1.5);
  assert.throws(
    () =>
      restrictedMeanDifference({ time: [1, 2, 9], event: [1, 0, 0], group: [0, 0, 1] }, {
        horizon: 5,
      }),
    /the last time of "0"/,
  );
});

Deno.test("restrictedMeanDifference() names what is wrong with its input", () => {
  const data = { time: [1, 2, 3], event: [1, 0, 1], group: ["a", "b", "b"] };
  const cases: [Parameters<typeof restrictedMeanDifference>[0], number, string][] = [
    [{ ...data, group: ["a", "a", "a"] }, 1, "group"],
    [{ ...data, group: ["a", "b", "c"] }, 1, "group"],
    [data, 0, "horizon"],
    [data, Infinity, "horizon"],
    [{ ...data, event: [1, 2, 0] }, 1, "event"],
  ];
  for (const [input, horizon, argument] of cases) {
    assert.throws(
      () => restrictedMeanDifference(input, { horizon }),
      (error: unknown) => error instanceof DataError && error.argument === argument,
      argument,
    );
  }
});
