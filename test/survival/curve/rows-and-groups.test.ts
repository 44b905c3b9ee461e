import assert from "node:assert/strict";
import fc from "fast-check";
import {
  coxRegression,
  type FollowUp,
  kaplanMeier,
  logRank,
  restrictedMeanDifference,
  restrictedMeanSurvival,
} from "mitral";
import { assertAllClose, assertClose } from "../../close.ts";
import { CLOSE, groups, pick } from "./random-follow-up.ts";

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
