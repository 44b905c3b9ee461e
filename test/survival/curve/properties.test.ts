// Identities of the survival estimators over random cohorts with ties, zeros, delayed entry and
// weights. Kind of check: identity, unless a comment says otherwise.
import assert from "node:assert/strict";
import fc from "fast-check";
import {
  coxRegression,
  type FollowUp,
  kaplanMeier,
  kaplanMeierByGroup,
  landmark,
  logRank,
  restrictedMeanDifference,
  restrictedMeanSurvival,
} from "mitral";
import { assertAllClose, assertClose } from "../../close.ts";

interface Row {
  time: number;
  event: number;
  entry: number;
  weight: number;
  group: string;
  stratum: number;
}

/** Times in quarters from 0, so there are many ties; entry -1 is before time 0. */
const row: fc.Arbitrary<Row> = fc.record({
  time: fc.integer({ min: 0, max: 24 }),
  event: fc.integer({ min: 0, max: 1 }),
  gap: fc.integer({ min: 1, max: 25 }),
  weight: fc.integer({ min: 1, max: 4 }),
  group: fc.constantFrom("a", "b", "c"),
  stratum: fc.integer({ min: 0, max: 1 }),
}).map(({ gap, time, ...rest }) => ({
  ...rest,
  time: time / 4,
  entry: Math.max(-1, time - gap) / 4,
}));
const cohort = fc.array(row, { minLength: 1, maxLength: 40 });
/** At least two groups. */
const groups = cohort.map((rows) => [
  { time: 5, event: 1, entry: 0, weight: 1, group: "a", stratum: 0 },
  { time: 6, event: 0, entry: 1, weight: 2, group: "b", stratum: 0 },
  ...rows,
]);

const pick = <K extends keyof Row>(rows: Row[], ...keys: K[]) =>
  Object.fromEntries(keys.map((key) => [key, rows.map((r) => r[key])])) as Pick<
    { [P in keyof Row]: Row[P][] },
    K
  >;

const CLOSE = { relative: 1e-9, absolute: 1e-9 };

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

Deno.test("logRank() takes unit weights as none, and a common factor as nothing", () => {
  fc.assert(fc.property(groups, (rows) => {
    const data = pick(rows, "time", "event", "entry", "group", "stratum");
    const plain = logRank(data);
    for (const factor of [1, 3.7]) {
      const weighted = logRank({ ...data, weight: rows.map(() => factor) });
      assertClose(weighted.statistic, plain.statistic, { relative: 1e-8, absolute: 1e-8 });
      assert.equal(weighted.degreesOfFreedom, plain.degreesOfFreedom);
    }
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

Deno.test("doubling every row halves the variance; doubling every weight changes nothing", () => {
  fc.assert(fc.property(groups, (rows) => {
    const twice = [...rows, ...rows];
    const keys = ["time", "event", "entry"] as const;
    const [one, two] = [kaplanMeier(pick(rows, ...keys)), kaplanMeier(pick(twice, ...keys))];
    assertAllClose(two.survival, one.survival, CLOSE);
    assertAllClose(two.standardError.map((s) => s * Math.SQRT2), one.standardError, CLOSE);
    const [r1, r2] = [rows, twice].map((part) =>
      kaplanMeier(pick(part, ...keys), { variance: "robust" }).standardError
    );
    // a difference of two sums: near zero only the square is determined to rounding
    const near = { relative: 1e-7, absolute: 1e-7 };
    assertAllClose(r2!.map((s) => s * Math.SQRT2), r1!, near);
    const light = kaplanMeier(pick(rows, ...keys, "weight"));
    const heavy = kaplanMeier({ ...pick(rows, ...keys), weight: rows.map((r) => 2 * r.weight) });
    assertAllClose(heavy.standardError, light.standardError, near);
    const data = pick(rows, ...keys, "group");
    const single = restrictedMeans(data);
    const double = restrictedMeans(pick(twice, ...keys, "group"));
    if (!single || !double) return;
    assertClose(double.difference.estimate, single.difference.estimate, CLOSE);
    const halved = double.difference.standardError * Math.SQRT2;
    assertClose(halved, single.difference.standardError, CLOSE);
  }));
});

/** The same rows without the columns that compare groups. */
function ungrouped<T extends FollowUp>({ time, event, entry, weight }: T): FollowUp {
  return { time, event, entry, weight };
}

/** Difference to 5, of the first two groups, where both curves are known as far. */
function restrictedMeans(
  data: { time: number[]; event: number[]; entry: number[]; group: string[] },
) {
  const group = data.group.map((label) => label === "c" ? "a" : label);
  const last = (label: string) => Math.max(...data.time.filter((_, i) => group[i] === label));
  if (last("a") < 5 || last("b") < 5) return undefined;
  return restrictedMeanDifference({ ...data, group }, { horizon: 5 });
}

Deno.test("cutting a row in two at an interior time changes nothing", () => {
  fc.assert(fc.property(groups, fc.integer({ min: 1, max: 23 }), (rows, at) => {
    const cut = (at + 0.5) / 4;
    const pieces = rows.flatMap((r, id) =>
      r.entry < cut && cut < r.time
        ? [{ ...r, id, time: cut, event: 0 }, { ...r, id, entry: cut }]
        : [{ ...r, id }]
    );
    const keys = ["time", "event", "entry", "weight"] as const;
    const whole = pick(rows, ...keys);
    const split = pick(pieces, ...keys);
    const cluster = pieces.map((piece) => piece.id);
    const [one, two] = [kaplanMeier(whole), kaplanMeier({ ...split, cluster })];
    const seen = two.at(one.time);
    assertAllClose(seen.survival, one.survival, CLOSE);
    const near = { relative: 1e-7, absolute: 1e-7 };
    assertAllClose(seen.standardError, one.standardError, near);
    const [unweighted, halves] = [rows, pieces].map((part) =>
      logRank(pick(part, "time", "event", "entry", "group", "stratum"))
    );
    assertClose(halves!.statistic, unweighted!.statistic, CLOSE);
    assertAllClose(halves!.covariance, unweighted!.covariance, CLOSE);
    const horizon = Math.max(...whole.time);
    const [mean, ofPieces] = [
      restrictedMeanSurvival(whole, { horizon }),
      restrictedMeanSurvival({ ...split, cluster }, { horizon }),
    ];
    assertClose(ofPieces.estimate, mean.estimate, CLOSE);
    assertClose(ofPieces.standardError, mean.standardError, near);
  }));
});

Deno.test("row order and the unit of time change nothing but the unit", () => {
  fc.assert(fc.property(groups, (rows) => {
    const keys = ["time", "event", "entry", "weight", "group", "stratum"] as const;
    const data = pick(rows, ...keys);
    const other = pick([...rows].reverse(), ...keys);
    const days = 365.25;
    other.time = other.time.map((t) => t * days);
    other.entry = other.entry.map((t) => t * days);
    const [years, inDays] = [kaplanMeier(ungrouped(data)), kaplanMeier(ungrouped(other))];
    assertAllClose(inDays.survival, years.survival, CLOSE);
    assertAllClose(inDays.standardError, years.standardError, { relative: 1e-7, absolute: 1e-7 });
    for (const p of [0.1, 0.5, 0.7]) {
      const [a, b] = [years.quantile(p), inDays.quantile(p)];
      assertClose(b.estimate / days, a.estimate);
      assertClose(b.lower / days, a.lower);
      assertClose(b.upper / days, a.upper);
    }
    assertClose(logRank(other).statistic, logRank(data).statistic, CLOSE);
    const horizon = Math.max(...data.time);
    assertClose(
      restrictedMeanSurvival(ungrouped(other), { horizon: horizon * days }).standardError / days,
      restrictedMeanSurvival(ungrouped(data), { horizon }).standardError,
      CLOSE,
    );
  }));
});

Deno.test("logRank() permutes its groups when they are relabelled", () => {
  fc.assert(fc.property(groups, (rows) => {
    const data = pick(rows, "time", "event", "entry", "group", "stratum");
    const back: Record<string, string> = { a: "z", b: "y", c: "x" };
    for (const options of [{}, { rho: 1, gamma: 0.5 }, { weighting: "at-risk" }] as const) {
      const test = logRank(data, options);
      const renamed = logRank({ ...data, group: data.group.map((g) => back[g]!) }, options);
      assertClose(renamed.statistic, test.statistic, { relative: 1e-7, absolute: 1e-9 });
      assert.equal(renamed.degreesOfFreedom, test.degreesOfFreedom);
      assertAllClose(
        renamed.groups.map((g) => g.expected).reverse(),
        test.groups.map((g) => g.expected),
      );
      assertAllClose(renamed.covariance.toReversed(), test.covariance, CLOSE);
    }
  }));
});

Deno.test("logRank() differences sum to 0 over groups, covariance rows too", () => {
  fc.assert(fc.property(groups, (rows) => {
    const { groups: found, covariance } = logRank(
      pick(rows, "time", "event", "entry", "weight", "group", "stratum"),
      { rho: 1 },
    );
    const k = found.length;
    assertClose(found.reduce((sum, g) => sum + g.observed - g.expected, 0), 0, CLOSE);
    for (let g = 0; g < k; g++) {
      assertClose(covariance.slice(g * k, g * k + k).reduce((sum, v) => sum + v, 0), 0, CLOSE);
    }
  }));
});

Deno.test("logRank() of two groups is the Cox score test at 0 (Breslow, no ties)", () => {
  const sequence = fc.array(
    fc.record({ event: fc.integer({ min: 0, max: 1 }), second: fc.boolean() }),
    { minLength: 4, maxLength: 30 },
  );
  fc.assert(
    fc.property(sequence, (rest) => {
      const rows = [{ event: 1, second: true }, { event: 1, second: false }, ...rest];
      const data = { time: rows.map((_, i) => i + 1), event: rows.map((r) => r.event) };
      const second = rows.map((r) => r.second ? 1 : 0);
      const fit = coxRegression({ ...data, covariates: { second } }, { ties: "breslow" });
      const test = logRank({ ...data, group: second });
      assertClose(test.statistic, fit.score.statistic, { relative: 1e-8, absolute: 1e-9 });
    }),
    { numRuns: 50 },
  );
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
