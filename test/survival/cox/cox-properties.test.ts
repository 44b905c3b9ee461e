import assert from "node:assert/strict";
import fc from "fast-check";
import type { CoxData, CoxFit } from "../../../lib/survival/cox/model/fit.ts";
import { coxRegression } from "../../../lib/survival/cox/model/cox-regression.ts";
import { coxResiduals } from "../../../lib/survival/cox/checks/residuals.ts";
import { logRank } from "../../../lib/survival/log-rank/log-rank.ts";
import { proportionalHazardsTest } from "../../../lib/survival/cox/checks/proportional-hazards.ts";
import { splitFollowUp } from "../../../lib/survival/cox/rows/split-follow-up.ts";
import { assertAllClose, assertClose } from "../../close.ts";

interface Row {
  time: number;
  event: number;
  a: number;
  b: number;
  entry: number;
  weight: number;
  stratum: number;
}

/** Cohorts with ties, times of zero, late entries, whole-number weights and three strata. */
const cohort = fc.array(
  fc.record({
    time: fc.integer({ min: 0, max: 12 }),
    event: fc.constantFrom(0, 1, 1),
    a: fc.integer({ min: -3, max: 3 }),
    b: fc.constantFrom(0, 1),
    entry: fc.integer({ min: 1, max: 8 }),
    weight: fc.integer({ min: 1, max: 4 }),
    stratum: fc.integer({ min: 0, max: 2 }),
  }),
  { minLength: 14, maxLength: 50 },
);
type Part = "entry" | "weight" | "stratum";

function columns(rows: Row[], ...parts: Part[]): CoxData {
  const of = (key: keyof Row) => rows.map((row) => row[key]);
  return {
    time: of("time"),
    event: of("event"),
    covariates: { a: of("a"), b: of("b") },
    ...(parts.includes("entry") ? { entry: rows.map((row) => row.time - row.entry) } : {}),
    ...(parts.includes("weight") ? { weight: of("weight") } : {}),
    ...(parts.includes("stratum") ? { stratum: of("stratum") } : {}),
  };
}

/** The fit, where there is one to compare: some event, no separation, nothing collinear. */
function fitOrSkip(...[data, options]: Parameters<typeof coxRegression>): CoxFit {
  fc.pre(Array.from(data.event).includes(1));
  const fit = coxRegression(data, options);
  fc.pre(fit.converged && fit.dropped.length === 0);
  return fit;
}

const close = { relative: 1e-7, absolute: 1e-8 };
const runs = { numRuns: 60, seed: 20240607 };

function assertSame(actual: CoxFit, expected: CoxFit, variance = 1): void {
  const coefficients = (fit: CoxFit) => fit.terms.map((term) => term.coefficient);
  assertAllClose(coefficients(actual), coefficients(expected), close, "coefficient");
  const scaled = expected.covariance.map((value) => value * variance);
  assertAllClose(actual.covariance, scaled, close, "covariance");
}

function property(claim: string, check: (rows: Row[], ties: "efron" | "breslow") => void): void {
  Deno.test(claim, () => {
    fc.assert(fc.property(cohort, fc.constantFrom("efron", "breslow"), check), runs);
  });
}

property("coxRegression() with unit weights is coxRegression() without", (rows, ties) => {
  const data = columns(rows, "entry", "stratum");
  const plain = fitOrSkip(data, { ties });
  const weighted = coxRegression({ ...data, weight: rows.map(() => 1) }, { ties });
  assertSame(weighted, plain);
  assertClose(weighted.concordance.standardError, plain.concordance.standardError, close);
});

property("coxRegression() with clusters of one row is robust by row", (rows, ties) => {
  const data = columns(rows, "entry");
  fitOrSkip(data, { ties });
  const unit = coxRegression({ ...data, weight: rows.map(() => 1) }, { ties });
  const clusters = coxRegression({ ...data, cluster: rows.map((_, i) => `id${i}`) }, { ties });
  assertAllClose(clusters.robustCovariance!, unit.robustCovariance!, close);
  assertClose(clusters.robustScore!.statistic, unit.robustScore!.statistic, close);
});

property("coxRegression() with whole-number weights is replication (Breslow)", (rows) => {
  const weighted = fitOrSkip(columns(rows, "entry", "weight", "stratum"), { ties: "breslow" });
  const copies = rows.flatMap((row, i) => Array.from({ length: row.weight }, () => ({ row, i })));
  const long = columns(copies.map(({ row }) => row), "entry", "stratum");
  const cluster = copies.map(({ i }) => i);
  const replicated = coxRegression({ ...long, cluster }, { ties: "breslow" });
  assertSame(replicated, weighted);
  assertAllClose(replicated.robustCovariance!, weighted.robustCovariance!, close);
  const { concordance } = replicated;
  // Copies of one row are pairs too, but never comparable ones.
  assertClose(concordance.estimate, weighted.concordance.estimate, close);
  assertClose(concordance.standardError, weighted.concordance.standardError, close);
});

property("coxRegression() on every row twice halves the variance (Breslow)", (rows) => {
  const data = columns(rows, "entry", "stratum");
  const once = fitOrSkip(data, { ties: "breslow" });
  const twice = coxRegression(columns([...rows, ...rows], "entry", "stratum"), { ties: "breslow" });
  assertSame(twice, once, 0.5);
});

property("coxRegression() does not depend on the order of the rows", (rows, ties) => {
  const parts = ["entry", "weight", "stratum"] as const;
  const fit = fitOrSkip(columns(rows, ...parts), { ties });
  const back = coxRegression(columns([...rows].reverse(), ...parts), { ties });
  assertSame(back, fit);
  assertAllClose(back.linearPredictor.reverse(), fit.linearPredictor, close);
  assertClose(back.concordance.standardError, fit.concordance.standardError, close);
});

property("coxRegression() does not depend on the unit of time", (rows, ties) => {
  const data = columns(rows, "entry", "weight");
  const fit = fitOrSkip(data, { ties });
  const scaled = (column: ArrayLike<number>) => Array.from(column, (t) => t / 365.25);
  const years = { ...data, time: scaled(data.time), entry: scaled(data.entry!) };
  assertSame(coxRegression(years, { ties }), fit);
});

property("coxRegression() is not changed by splitting rows at interior times", (rows, ties) => {
  const data = columns(rows, "weight");
  const fit = fitOrSkip(data, { ties });
  const { covariates, row, ...pieces } = splitFollowUp(data, [2, 3, 7.5]);
  const split = coxRegression({ ...pieces, covariates, cluster: row }, { ties });
  assertSame(split, fit);
  assertAllClose(split.robustCovariance!, fit.robustCovariance!, close, "robust");
  assertClose(split.logLikelihood, fit.logLikelihood, close, "log likelihood");
  assert.equal(split.events, fit.events);
});

property("coxRegression() is equivariant to shift and scale of covariates", (rows, ties) => {
  const data = columns(rows, "entry", "stratum");
  const fit = fitOrSkip(data, { ties });
  for (const factor of [1e9, 1e-9]) {
    const covariates = {
      a: rows.map((row) => row.a * factor),
      b: rows.map((row) => row.b / factor + 5 / factor),
    };
    const scaled = coxRegression({ ...data, covariates }, { ties });
    assertClose(scaled.terms[0]!.coefficient * factor, fit.terms[0]!.coefficient, close);
    assertClose(scaled.terms[1]!.coefficient / factor, fit.terms[1]!.coefficient, close);
    assertClose(scaled.logLikelihood, fit.logLikelihood, close);
    assertClose(scaled.score.statistic, fit.score.statistic, close);
    assert.equal(scaled.converged, true);
  }
});

property("coxRegression() gives one stratum's fit when the others have no events", (rows, ties) => {
  const fit = fitOrSkip(columns(rows, "entry"), { ties });
  const idle = rows.map((row) => ({ ...row, event: 0, stratum: 9 }));
  const both = [...idle, ...rows.map((row) => ({ ...row, stratum: 1 }))];
  assertSame(coxRegression(columns(both, "entry", "stratum"), { ties }), fit);
});

Deno.test("coxRegression() score test at 0 is the log-rank test, two groups without ties", () => {
  const untied = fc.array(
    fc.record({ event: fc.constantFrom(0, 1), group: fc.constantFrom(0, 1) }),
    {
      minLength: 6,
      maxLength: 60,
    },
  );
  fc.assert(
    fc.property(untied, (rows) => {
      const event = rows.map((row) => row.event);
      const group = rows.map((row) => row.group);
      fc.pre(event.includes(1) && group.includes(0) && group.includes(1));
      const time = rows.map((_, i) => (i * 37 % 101) + 1);
      const fit = coxRegression({ time, event, covariates: { group } });
      fc.pre(fit.dropped.length === 0);
      const test = logRank({ time, event, group });
      assertClose(fit.score.statistic, test.statistic, { relative: 1e-8, absolute: 1e-10 });
    }),
    runs,
  );
});

property("coxResiduals() of a whole fit add up to events and to the score", (rows, ties) => {
  const data = columns(rows, "entry", "weight", "stratum");
  const fit = fitOrSkip(data, { ties });
  const sum = (column: Float64Array) =>
    column.reduce((total, value, i) => total + data.weight![i]! * value, 0);
  const none = { relative: 0, absolute: 1e-6 };
  assertClose(sum(coxResiduals(fit, "martingale").values), 0, none);
  const { a, b } = coxResiduals(fit, "score").columns;
  assertClose(sum(a!), 0, none);
  assertClose(sum(b!), 0, none);
});

property("proportionalHazardsTest() gives statistics that are not negative", (rows, ties) => {
  const fit = fitOrSkip(columns(rows, "entry", "stratum"), { ties });
  const { terms, global } = proportionalHazardsTest(fit);
  for (const { statistic, pValue } of [...terms, global]) {
    assert.ok(statistic >= 0 && pValue >= 0 && pValue <= 1);
  }
});

// A second, deliberately different implementation: concordance over all pairs.
property("concordance equals the count over all pairs", (rows, ties) => {
  const data = columns(rows, "entry", "weight", "stratum");
  const fit = fitOrSkip(data, { ties });
  const score = Array.from(fit.linearPredictor, (x) => Math.round(x * 1e9));
  let concordant = 0, discordant = 0, tied = 0;
  for (const [i, early] of rows.entries()) {
    for (const [j, late] of rows.entries()) {
      if (i === j || early.event === 0 || early.stratum !== late.stratum) continue;
      const later = late.time > early.time || (late.time === early.time && late.event === 0);
      if (!later || late.time - late.entry >= early.time) continue;
      const pair = early.weight * late.weight;
      if (score[i]! > score[j]!) concordant += pair;
      else if (score[i]! < score[j]!) discordant += pair;
      else tied += pair;
    }
  }
  assert.equal(fit.concordance.concordant + fit.concordance.discordant, concordant + discordant);
  assertClose(fit.concordance.tiedScore, tied);
  assertClose(fit.concordance.estimate, (concordant + tied / 2) / (concordant + discordant + tied));
});

/** Log conditional likelihood by listing every set, for one covariate. */
function byListing(rows: Row[], beta: number, late: boolean): number {
  let total = 0;
  for (const t of new Set(rows.filter((row) => row.event === 1).map((row) => row.time))) {
    const atRisk = rows.filter((row) => row.time >= t && (!late || row.time - row.entry < t));
    const died = atRisk.filter((row) => row.time === t && row.event === 1);
    const add = (sets: number, from: number, sum: number): number => {
      if (sets === 0) return Math.exp(beta * sum);
      let odds = 0;
      for (let i = from; i <= atRisk.length - sets; i++) {
        odds += add(sets - 1, i + 1, sum + atRisk[i]!.a);
      }
      return odds;
    };
    const deaths = died.reduce((sum, row) => sum + row.a, 0);
    total += beta * deaths - Math.log(add(died.length, 0, 0));
  }
  return total;
}

Deno.test("coxRegression() with exact ties maximises the likelihood that lists every set", () => {
  const small = fc.tuple(cohort, fc.boolean());
  fc.assert(
    fc.property(small, ([all, late]) => {
      const rows = all.slice(0, 12).map((row) => ({ ...row, time: 1 + row.time % 4 }));
      const { covariates, ...data } = columns(rows, ...(late ? ["entry" as const] : []));
      const fit = fitOrSkip({ ...data, covariates: { a: covariates.a! } }, { ties: "exact" });
      const beta = fit.terms[0]!.coefficient;
      fc.pre(Math.abs(beta) < 5);
      const at = (shift: number) => byListing(rows, beta + shift, late);
      assertClose(fit.logLikelihood, at(0), { relative: 1e-9, absolute: 1e-9 });
      assertClose(fit.logLikelihoodNull, byListing(rows, 0, late), {
        relative: 1e-9,
        absolute: 1e-9,
      });
      const h = 1e-3;
      const slope = (at(h) - at(-h)) / (2 * h);
      assertClose(slope, 0, { relative: 0, absolute: 1e-5 });
      const curvature = (2 * at(0) - at(h) - at(-h)) / (h * h);
      assertClose(curvature, 1 / fit.covariance[0]!, { relative: 1e-4, absolute: 1e-4 });
    }),
    { ...runs, numRuns: 40 },
  );
});
