import assert from "node:assert/strict";
import { conditionalSurvival, kaplanMeier } from "mitral";
import { assertAllClose, assertClose } from "../../close.ts";
import { numeric, referenceCase, referenceRows } from "../../reference/load.ts";

// Reference: see the case's source.
Deno.test("conditionalSurvival() agrees with reference case conditional-survival-lung", () => {
  const { data, columns, expected, options, tolerance } = referenceCase(
    "conditional-survival-lung",
  );
  const rows = referenceRows(data!);
  const follow = {
    time: numeric(rows, columns.time!),
    event: numeric(rows, columns.event!),
  };
  const scales = [["plain", "plain"], ["log", "log"], ["log-log", "loglog"]] as const;
  let checked = 0;
  for (const group of ["0", "1"]) {
    const own = rows.map((row) => row[columns.group!] === group);
    const pick = (values: Float64Array) => values.filter((_, i) => own[i]);
    for (const want of expected.unweighted[group]) {
      for (const [interval, name] of scales) {
        const found = conditionalSurvival(
          { time: pick(follow.time), event: pick(follow.event) },
          { from: want.given, times: options.times, interval },
        );
        assertClose(found.atRisk, want.atRiskJustAfter, tolerance);
        assertAllClose(found.survival, want.survival, tolerance);
        assertAllClose(found.standardError, want.standardError, tolerance);
        assertAllClose(found.lower, want[`${name}Lower`], tolerance, `${interval} lower`);
        assertAllClose(found.upper, want[`${name}Upper`], tolerance, `${interval} upper`);
        checked++;
      }
    }
  }
  for (const want of expected.weightedEveryone) {
    const weight = numeric(rows, columns.weight!);
    const found = conditionalSurvival({ ...follow, weight }, {
      from: want.given,
      times: options.times,
    });
    assertAllClose(found.survival, want.survival, tolerance);
    assertAllClose(found.standardError, want.standardError, tolerance);
    assertAllClose(found.lower, want.loglogLower, tolerance);
    assertAllClose(found.upper, want.loglogUpper, tolerance);
    checked++;
  }
  assert.ok(checked >= 18);
});

// Identity: S(t | s) = S(t) / S(s).
Deno.test("conditionalSurvival() is a ratio of survival, with delayed entry too", () => {
  const data = { time: [1, 2, 3, 4, 5, 6], event: [1, 1, 0, 1, 0, 1], entry: [0, 0, 1, 0, 2, 3] };
  const curve = kaplanMeier(data).at([2, 4, 5.5]).survival;
  const { survival, atRisk } = conditionalSurvival(data, { from: 2, times: [4, 5.5] });
  assertAllClose(survival, [curve[1]! / curve[0]!, curve[2]! / curve[0]!]);
  assert.equal(atRisk, 3);
});

Deno.test("conditionalSurvival() refuses a time before `from`, and nobody left", () => {
  const data = { time: [1, 2], event: [1, 0] };
  assert.throws(() => conditionalSurvival(data, { from: 1, times: [0.5] }), /times\[0\]/);
  assert.throws(() => conditionalSurvival(data, { from: 2, times: [3] }), /from must be a time/);
});
