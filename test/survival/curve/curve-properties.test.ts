// Identities of the survival estimators over random cohorts with ties, zeros, delayed entry and
// weights. Kind of check: identity, unless a comment says otherwise.
import assert from "node:assert/strict";
import fc from "fast-check";
import { kaplanMeier, kaplanMeierByGroup, landmark, restrictedMeanSurvival } from "mitral";
import { assertAllClose, assertClose } from "../../close.ts";
import { CLOSE, cohort, groups, pick, type Row } from "./random-follow-up.ts";

/** One subject a row, written as the definition: slow on purpose. */
function slowCurve(rows: Row[]) {
  const times = [...new Set(rows.map((r) => r.time))].sort((a, b) => a - b);
  let survival = 1;
  let sum = 0;
  return times.map((t) => {
    const atRisk = rows.filter((r) => r.entry < t && r.time >= t);
    const failed = atRisk.filter((r) => r.time === t && r.event === 1);
    const n = atRisk.reduce((total, r) => total + r.weight, 0);
    const d = failed.reduce((total, r) => total + r.weight, 0);
    survival *= 1 - d / n;
    sum += d === 0 ? 0 : d / (n * (n - d));
    return { t, n, survival, error: survival > 0 ? survival * Math.sqrt(sum) : NaN };
  });
}

Deno.test("kaplanMeier() equals its definition, row by row", () => {
  fc.assert(fc.property(cohort, (rows) => {
    const data = pick(rows, "time", "event", "entry", "weight");
    const curve = kaplanMeier(data, { variance: "greenwood" });
    const slow = slowCurve(rows);
    assertAllClose(curve.time, slow.map(({ t }) => t));
    assertAllClose(curve.atRisk, slow.map(({ n }) => n), CLOSE);
    assertAllClose(curve.survival, slow.map(({ survival }) => survival), CLOSE);
    assertAllClose(curve.standardError, slow.map(({ error }) => error), CLOSE);
    const between = slow.map(({ t }) => t + 0.1);
    assertAllClose(
      curve.at(between).atRisk,
      between.map((t) =>
        rows.reduce((sum, r) => r.entry < t && r.time >= t ? sum + r.weight : sum, 0)
      ),
    );
  }));
});

Deno.test("kaplanMeier() never rises, stays in [0, 1] and within its limits", () => {
  fc.assert(fc.property(cohort, (rows) => {
    for (const interval of ["log-log", "log", "plain"] as const) {
      for (const keys of [["time", "event"], ["time", "event", "entry", "weight"]] as const) {
        const { survival, lower, upper } = kaplanMeier(pick(rows, ...keys), { interval });
        survival.forEach((s, j) => {
          assert.ok(s >= 0 && s <= (j === 0 ? 1 : survival[j - 1]!));
          if (s > 0) {
            assert.ok(0 <= lower[j]! && lower[j]! <= s && s <= upper[j]! && upper[j]! <= 1);
          } else assert.ok(Number.isNaN(lower[j]) && Number.isNaN(upper[j]));
        });
      }
    }
  }));
});

Deno.test("kaplanMeier() limits of a higher level contain those of a lower one", () => {
  fc.assert(fc.property(cohort, (rows) => {
    const data = pick(rows, "time", "event");
    const [wide, narrow] = [0.99, 0.9].map((confidence) => kaplanMeier(data, { confidence }));
    narrow!.survival.forEach((s, j) => {
      if (s === 0) return;
      assert.ok(wide!.lower[j]! <= narrow!.lower[j]! && narrow!.upper[j]! <= wide!.upper[j]!);
    });
  }));
});

Deno.test("kaplanMeier() without censoring is the empirical distribution, binomial variance", () => {
  fc.assert(fc.property(cohort, (rows) => {
    const { time } = pick(rows, "time");
    const curve = kaplanMeier({ time, event: time.map(() => 1) });
    curve.time.forEach((t, j) => {
      const share = time.filter((value) => value > t).length / time.length;
      assertClose(curve.survival[j]!, share, CLOSE);
      const error = share > 0 ? Math.sqrt(share * (1 - share) / time.length) : NaN;
      assertClose(curve.standardError[j]!, error, CLOSE);
    });
  }));
});

Deno.test("kaplanMeier() and restrictedMeanSurvival() take unit weights as none", () => {
  fc.assert(fc.property(cohort, (rows) => {
    const data = pick(rows, "time", "event", "entry");
    const weight = rows.map(() => 1);
    const variance = "greenwood";
    const [plain, weighted] = [kaplanMeier(data), kaplanMeier({ ...data, weight }, { variance })];
    assertAllClose(weighted.survival, plain.survival);
    assertAllClose(weighted.standardError, plain.standardError);
    const horizon = plain.time.at(-1)! || 1;
    if (plain.time.at(-1)! < horizon && plain.survival.at(-1)! > 0) return;
    assertClose(
      restrictedMeanSurvival({ ...data, weight }, { horizon, variance }).standardError,
      restrictedMeanSurvival(data, { horizon }).standardError,
    );
  }));
});

Deno.test("kaplanMeier() takes whole weights as repeated rows (Greenwood)", () => {
  fc.assert(fc.property(cohort, (rows) => {
    const data = pick(rows, "time", "event", "entry", "weight");
    const weighted = kaplanMeier(data, { variance: "greenwood" });
    const repeated = rows.flatMap((r) => Array<Row>(r.weight).fill(r));
    const plain = kaplanMeier(pick(repeated, "time", "event", "entry"));
    assertAllClose(weighted.survival, plain.survival, CLOSE);
    assertAllClose(weighted.standardError, plain.standardError, CLOSE);
    assertAllClose(weighted.atRisk, plain.atRisk);
  }));
});

Deno.test("kaplanMeierByGroup() equals each group alone; landmark(0) leaves all curves alone", () => {
  fc.assert(fc.property(groups, (rows) => {
    const keys = ["time", "event", "entry", "weight"] as const;
    for (const { group, curve } of kaplanMeierByGroup(pick(rows, ...keys, "group"))) {
      const alone = kaplanMeier(pick(rows.filter((r) => r.group === group), ...keys));
      assert.equal(curve.n, alone.n);
      assertAllClose(curve.survival, alone.survival, CLOSE);
      assertAllClose(curve.standardError, alone.standardError, { relative: 1e-7, absolute: 1e-7 });
    }
    const later = rows.filter((r) => r.time > 0).map((r) => ({ ...r, entry: -1 }));
    const data = pick(later, "time", "event");
    assertAllClose(kaplanMeier(landmark(data, 0).data).survival, kaplanMeier(data).survival);
  }));
});

Deno.test("landmark() keeps the curve after the landmark, divided by survival at it", () => {
  fc.assert(fc.property(groups, (rows) => {
    const data = pick(rows, "time", "event");
    const whole = kaplanMeier(data);
    const at = 3;
    const view = landmark(data, at);
    assert.equal(view.kept.length + view.leftOut.length, rows.length);
    const after = kaplanMeier(view.data);
    const before = whole.at([at]).survival[0]!;
    const shifted = after.time.map((t) => t + at);
    assertAllClose(after.survival.map((s) => s * before), whole.at(shifted).survival, CLOSE);
  }));
});
