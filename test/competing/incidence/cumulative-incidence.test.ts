import assert from "node:assert/strict";
import { cumulativeIncidence, cumulativeIncidenceByGroup, DataError } from "mitral";
import { incidenceDifference, incidenceIgnoringCompetingEvents } from "mitral";
import type { FollowUp, Labels } from "mitral";
import { assertAllClose, assertClose } from "../../close.ts";
import { numeric, referenceCase, referenceRows } from "../../reference/load.ts";
import { EXACT } from "./mgus2.ts";

function mgus2(): { time: Float64Array; event: Float64Array; group: Labels } {
  const rows = referenceRows("mgus2.csv");
  return {
    time: numeric(rows, "etime"),
    event: numeric(rows, "cause"),
    group: Array.from(numeric(rows, "male")),
  };
}

// By hand. Group A of the 16 subjects in worked-competing.csv: 2 (1), 3 (2), 3 (1), 5+, 6 (1),
// 6 (2), 8+, 9 (1); in brackets the cause.
//
//   t   n  d1 d2   S(t-)    d1 S/n     d2 S/n     F1        F2        S(t)
//   2   8  1  0    1        1/8        0          0.125     0         0.875
//   3   7  1  1    0.875    0.875/7    0.875/7    0.25      0.125     0.625
//   5   5  0  0    0.625    0          0          0.25      0.125     0.625
//   6   4  1  1    0.625    0.625/4    0.625/4    0.40625   0.28125   0.3125
//   8   2  0  0    0.3125   0          0          0.40625   0.28125   0.3125
//   9   1  1  0    0.3125   0.3125     0          0.71875   0.28125   0
//
// Group B: 1 (2), 3 (1), 4 (2), 5 (1), 5 (1), 7+, 9 (2), 10+.
//
//   1   8  0  1    1        0          1/8        0         0.125     0.875
//   3   7  1  0    0.875    0.125      0          0.125     0.125     0.75
//   4   6  0  1    0.75     0          0.125      0.125     0.25      0.625
//   5   5  2  0    0.625    0.25       0          0.375     0.25      0.375
//   7   3  0  0    0.375    0          0          0.375     0.25      0.375
//   9   2  0  1    0.375    0          0.1875     0.375     0.4375    0.1875
//  10   1  0  0    0.1875   0          0          0.375     0.4375    0.1875
Deno.test("cumulativeIncidence() takes every step of the worked example", () => {
  const { expected } = referenceCase("cif-worked-example");
  const rows = referenceRows("worked-competing.csv");
  const fits = cumulativeIncidenceByGroup({
    time: numeric(rows, "time"),
    event: numeric(rows, "cause"),
    group: rows.map((row) => row["group"]!),
  });
  assert.deepEqual(fits.map((fit) => fit.group), ["A", "B"]);
  for (const [fit, steps] of [[fits[0]!, expected.stepsA], [fits[1]!, expected.stepsB]]) {
    assertAllClose(fit.time, steps.time, EXACT);
    assertAllClose(fit.atRisk, steps.nRisk, EXACT);
    assertAllClose(fit.censored, steps.censored, EXACT);
    assertAllClose(fit.causes[0].incidence, steps.cif1, EXACT);
    assertAllClose(fit.causes[1].incidence, steps.cif2, EXACT);
    assertAllClose(fit.eventFree, steps.survivalAfter, EXACT);
  }
});

// Reference library, version and method named in the case.
for (const id of ["cif-worked-example", "cif-mgus2", "cif-pbc-transplant"]) {
  Deno.test(`cumulativeIncidence() matches the reference (${id})`, () => {
    const check = referenceCase(id);
    const rows = referenceRows(check.data!);
    const column = id === "cif-pbc-transplant" ? "status" : "cause";
    const time = numeric(rows, id === "cif-mgus2" ? "etime" : "time");
    const group = rows.map((row) =>
      row[id === "cif-mgus2" ? "male" : id === "cif-pbc-transplant" ? "sex" : "group"]!
    );
    const fits = cumulativeIncidenceByGroup({ time, event: numeric(rows, column), group });
    for (const fit of fits) {
      const expected = (check.expected.summary ?? check.expected)[fit.group];
      fit.causes.forEach((cause, k) => {
        const values = cause.at(expected.times);
        const right = expected[`cause${k + 1}`];
        assertAllClose(values.atRisk, expected.nRisk, check.tolerance, "atRisk");
        assertAllClose(values.incidence, right.cif, check.tolerance, "incidence");
        assertAllClose(values.standardError, right.seDelta, check.tolerance, "delta method");
        assertAllClose(values.standardError, right.seInfinitesimalJackknife, check.tolerance, "IJ");
      });
      const free = Float64Array.from(expected.times, (t: number) => {
        const j = fit.time.findLastIndex((u) => u <= t);
        return fit.eventFree[j]!;
      });
      assertAllClose(free, expected.eventFree, check.tolerance, "eventFree");
    }
  });
}

// Methods brief row 20: published for these data with the reference library (from memory),
// recomputed there: progression .0637 .0998 .1340, death .5318 .7240 .7842 at 120, 240, 360 months;
// censoring deaths instead: .0952 .2096 .4248.
Deno.test("cumulativeIncidence() gives the printed whole-sample values of mgus2", () => {
  const { time, event } = mgus2();
  const data = { time, event };
  const [progression, death] = cumulativeIncidence(data).causes;
  const times = [120, 240, 360];
  const printed = { relative: 0, absolute: 0.00005 };
  assertAllClose(progression!.at(times).incidence, [.0637, .0998, .1340], printed);
  assertAllClose(death!.at(times).incidence, [.5318, .7240, .7842], printed);
  const ignoring = incidenceIgnoringCompetingEvents(data, { cause: 1 });
  assertAllClose(ignoring.at(times).incidence, [.0952, .2096, .4248], printed);
});

// By hand (methods brief row 23): F1(3) = .2597, F1(6) = .6494, F2(6) = .3506.
Deno.test("cumulativeIncidence() matches eleven rows worked by hand", () => {
  const { causes, eventFree } = cumulativeIncidence({
    time: [1, 5, 3, 6, 1, 3, 2, 5, 2, 3, 6],
    event: [0, 1, 1, 1, 2, 1, 0, 1, 0, 2, 2],
  });
  const printed = { relative: 0, absolute: 0.00005 };
  assertAllClose(causes[0]!.at([3, 6]).incidence, [.2597, .6494], printed);
  assertClose(causes[1]!.at([6]).incidence[0]!, .3506, printed);
  assert.equal(eventFree.at(-1), 0);
});

// By hand: F = 1/4, plain SE sqrt(3/64) with 4 at risk and none censored before.
Deno.test("cumulativeIncidence() forms log-log and plain limits", () => {
  const data = { time: [1, 2, 2, 2], event: [1, 0, 0, 0] };
  const z = 1.959963984540054;
  const se = Math.sqrt(0.25 * 0.75 / 4);
  const plain = cumulativeIncidence(data, { interval: "plain" }).causes[0]!;
  assertClose(plain.lower[0]!, 0, EXACT); // .25 - .42 is cut
  assertClose(plain.upper[0]!, 0.25 + z * se, EXACT);
  const cause = cumulativeIncidence(data).causes[0]!;
  const shift = z * se / (0.25 * Math.log(0.25));
  assertClose(cause.lower[0]!, Math.exp(-Math.exp(Math.log(-Math.log(0.25)) - shift)), EXACT);
  assertClose(cause.upper[0]!, Math.exp(-Math.exp(Math.log(-Math.log(0.25)) + shift)), EXACT);
});

Deno.test("cumulativeIncidence() leaves its input alone and refuses bad input by name", () => {
  const time = Float64Array.of(2, 1, 3);
  const event = Float64Array.of(1, 0, 2);
  cumulativeIncidence({ time, event });
  assert.deepEqual([...time, ...event], [2, 1, 3, 1, 0, 2]);
  const refuse = (data: FollowUp, argument: string, index?: number, options = {}) =>
    assert.throws(() => cumulativeIncidence(data, options), (error) => {
      assert.ok(error instanceof DataError);
      assert.equal(error.argument, argument);
      assert.equal(error.index, index);
      return true;
    });
  refuse({ time: [1, NaN], event: [0, 1] }, "time", 1);
  refuse({ time: [1, 2], event: [0, 1.5] }, "event", 1);
  refuse({ time: [1, 2], event: [0, 3] }, "event", 1, { causes: [1, 2] });
  refuse({ time: [1, 2], event: [0, 1], weight: [1, 0] }, "weight", 1);
  refuse({ time: [], event: [] }, "time");
  refuse({ time: [1], event: [1] }, "confidence", undefined, { confidence: 1 });
});

Deno.test("cumulativeIncidence() answers past the end only where nobody is left", () => {
  const open = cumulativeIncidence({ time: [1, 2], event: [1, 0] }).causes[0]!.at([0, 1.5, 9]);
  assertAllClose(open.incidence, [0, 0.5, NaN]);
  assertAllClose(open.upper.slice(0, 1), [0]);
  const done = cumulativeIncidence({ time: [1, 2], event: [1, 2] }).causes[0]!.at([9]);
  assertAllClose(done.incidence, [0.5]);
  assertAllClose(done.standardError, [Math.sqrt(1 / 8)]); // by hand: a proportion, 1 of 2
  const none = cumulativeIncidence({ time: [1, 2], event: [0, 0] });
  assert.deepEqual([none.causes.length, ...none.eventFree], [0, 1, 1]);
});

Deno.test("incidenceDifference() of independent groups combines their errors", () => {
  const data = mgus2();
  const fits = cumulativeIncidenceByGroup(data);
  const contrasts = incidenceDifference(data, { cause: 2, times: [60, 240] });
  const values = fits.map((fit) => fit.causes[1]!.at([60, 240]));
  contrasts.forEach((contrast, i) => {
    const [a, b] = values.map((v) => ({ f: v.incidence[i]!, se: v.standardError[i]! }));
    assertClose(contrast.difference.estimate, b!.f - a!.f);
    assertClose(contrast.difference.standardError, Math.hypot(a!.se, b!.se));
    assertClose(contrast.ratio.standardError, Math.hypot(a!.se / a!.f, b!.se / b!.f));
    assertClose(contrast.groups[0]!.standardError, a!.se);
    assertClose(contrast.groups[1]!.lower, values[1]!.lower[i]!);
    assertClose(contrast.groups[1]!.atRisk, values[1]!.atRisk[i]!);
  });
  // sanity: women die later (published direction)
  assert.ok(contrasts[0]!.difference.pValue < 0.001 && contrasts[0]!.difference.estimate > 0);
});

Deno.test("incidenceDifference() refuses anything but two groups", () => {
  const data = { time: [1, 2, 3], event: [1, 0, 1], group: ["a", "b", "c"] };
  assert.throws(() => incidenceDifference(data, { cause: 1, times: [1] }), DataError);
});
