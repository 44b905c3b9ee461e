import assert from "node:assert/strict";
import { DataError } from "../../../lib/numerics/columns/errors.ts";
import { SeededRandom } from "../../../lib/numerics/replicates/random.ts";
import type { CoxData } from "../../../lib/survival/cox/model/fit.ts";
import { coxRegression } from "../../../lib/survival/cox/model/cox-regression.ts";
import { assertAllClose, assertClose } from "../../close.ts";
import { models } from "./cox-cases.ts";

const rules = ["efron", "breslow", "exact"] as const;

Deno.test("coxRegression() throws a DataError when nobody has an event", () => {
  const data = { time: [1, 2, 3], event: [0, 0, 0], covariates: { x: [0, 1, 0] } };
  assert.throws(() => coxRegression(data), DataError);
  assert.throws(() => coxRegression(data), /event/);
});

Deno.test("coxRegression() names argument, row and value of what is wrong", () => {
  const good: CoxData = {
    time: [1, 2, 3, 4],
    event: [1, 1, 0, 1],
    covariates: { x: [0, 1, 0, 2] },
  };
  const wrong: [Partial<CoxData>, RegExp][] = [
    [{ time: [1, 2, -3, 4] }, /time\[2\].*-3/],
    [{ time: [1, NaN, 3, 4] }, /time\[1\].*NaN/],
    [{ time: [] }, /time/],
    [{ event: [1, 2, 0, 1] }, /event\[1\].*2/],
    [{ event: [1, 1, 0] }, /event/],
    [{ covariates: {} }, /covariates/],
    [{ covariates: { x: [0, 1, NaN, 2] } }, /covariates\.x\[2\].*NaN/],
    [{ covariates: { x: [0, 1, Infinity, 2] } }, /covariates\.x\[2\].*Infinity/],
    [{ covariates: { x: [0, 1] } }, /covariates\.x/],
    [{ weight: [1, 0, 1, 1] }, /weight\[1\].*0/],
    [{ entry: [0, 2, 0, 0] }, /entry\[1\].*2/],
    [{ stratum: ["a", "b"] }, /stratum/],
    [{ cluster: [1, 2, NaN, 3] }, /cluster\[2\].*NaN/],
  ];
  for (const [part, message] of wrong) {
    assert.throws(() => coxRegression({ ...good, ...part }), (error: Error) => {
      assert.ok(error instanceof DataError, String(error));
      assert.match(error.message, message);
      return true;
    });
  }
  assert.throws(() => coxRegression(good, { ties: "guess" as "efron" }), /ties/);
  assert.throws(() => coxRegression(good, { confidence: 95 }), /confidence/);
  assert.throws(() => coxRegression(good, { maxIterations: 0 }), /maxIterations/);
  const weighted = { ...good, weight: [1, 2, 1, 1] };
  assert.throws(() => coxRegression(weighted, { ties: "exact" }), /weight/);
  const clustered = { ...good, cluster: [1, 2, 1, 1] };
  assert.throws(() => coxRegression(clustered, { ties: "exact" }), /cluster/);
  assert.throws(() => coxRegression(good, { ties: "exact", penalty: "jeffreys" }), /penalty/);
});

Deno.test("coxRegression() leaves its input as it was", () => {
  const data = models.heart("id");
  const before = structuredClone(data);
  const fit = coxRegression(data);
  fit.concordance;
  fit.baselineHazard();
  assert.deepEqual(data, before);
});

Deno.test("coxRegression() of one row, and of one risk set of one, drops what it cannot see", () => {
  for (const ties of rules) {
    const one = coxRegression({ time: [1], event: [1], covariates: { x: [2] } }, { ties });
    assert.deepEqual(one.dropped, ["x"]);
    assert.ok(Number.isNaN(one.terms[0]!.coefficient));
    assert.equal(one.logLikelihood, 0);
    assert.deepEqual(one.wald, { statistic: 0, degreesOfFreedom: 0, pValue: 1 });
    assert.equal(one.converged, true);
    assert.equal(one.linearPredictor[0], 0);
    assertAllClose(one.baselineHazard().cumulativeHazard, [1]);
    // The only event is the last to be at risk: nobody to compare with.
    const last = { time: [1, 2, 3], event: [0, 0, 1], covariates: { x: [1, 2, 7] } };
    assert.deepEqual(coxRegression(last, { ties }).dropped, ["x"]);
  }
});

// By hand: one event among three with x = 0, 1, 2 and the event at x = 1: the score 1 - mean(x) is
// 0 at b = 0, where the information is the variance 2/3.
Deno.test("coxRegression() of one event", () => {
  for (const ties of rules) {
    const data = { time: [1, 2, 3], event: [1, 0, 0], covariates: { x: [1, 0, 2] } };
    const fit = coxRegression(data, { ties });
    assertClose(fit.terms[0]!.coefficient, 0);
    assertClose(fit.covariance[0]!, 3 / 2);
    assertClose(fit.logLikelihood, -Math.log(3));
    assert.equal(fit.converged, true);
  }
});

// By hand: everyone dies at one time. Exact: the only set of n is the one seen, so no information.
// Breslow: n log(sum of risks) is least where the mean is that of the deaths: b = 0.
Deno.test("coxRegression() when everybody dies at one time, 0 included", () => {
  for (const t of [0, 2]) {
    const data = { time: [t, t, t, t], event: [1, 1, 1, 1], covariates: { x: [0, 1, 2, 5] } };
    assert.deepEqual(coxRegression(data, { ties: "exact" }).dropped, ["x"]);
    const breslow = coxRegression(data, { ties: "breslow" });
    assertClose(breslow.terms[0]!.coefficient, 0);
    assertClose(breslow.logLikelihood, -4 * Math.log(4));
    const efron = coxRegression(data);
    assertClose(efron.logLikelihood, -Math.log(24));
    assert.equal(efron.concordance.estimate, 0.5);
    assert.equal(efron.concordance.standardError, Infinity);
  }
});

Deno.test("coxRegression() names constant and collinear covariates and fits the rest", () => {
  const data = models.lung();
  const { age, sex } = data.covariates;
  const alone = coxRegression({ ...data, covariates: { age: age!, sex: sex! } });
  const covariates = {
    one: Array.from(age!, () => 0.1),
    age: age!,
    months: Array.from(age!, (years) => 12 * years - 7),
    sex: sex!,
    both: Array.from(age!, (years, i) => years + 30 * sex![i]!),
  };
  for (const ties of rules) {
    const fit = coxRegression({ ...data, covariates }, { ties });
    assert.deepEqual(fit.dropped, ["one", "months", "both"]);
    assert.equal(fit.converged, true);
    assert.equal(fit.wald.degreesOfFreedom, 2);
  }
  const fit = coxRegression({ ...data, covariates });
  const estimates = fit.terms.map((term) => term.coefficient);
  const [b1, b2] = alone.terms.map((term) => term.coefficient);
  assertAllClose(estimates, [NaN, b1!, NaN, b2!, NaN]);
  assertAllClose(fit.linearPredictor, alone.linearPredictor);
  assertClose(fit.covariance[1 * 5 + 3]!, alone.covariance[1]!);
  assert.ok(Number.isNaN(fit.covariance[0]!));
});

Deno.test("coxRegression() drops a covariate that is constant within every stratum", () => {
  const data = models.stratifiedVeteran();
  const labels = [...new Set(data.stratum as string[])];
  const site = Array.from(data.stratum as string[], (label) => 1e6 * labels.indexOf(label));
  const fit = coxRegression({ ...data, covariates: { site, ...data.covariates } });
  assert.deepEqual(fit.dropped, ["site"]);
  assertClose(fit.terms[2]!.coefficient, coxRegression(data).terms[1]!.coefficient);
});

// Identity: a shift by stratum changes nothing, however large it is against the spread within.
Deno.test("coxRegression() keeps its digits when strata lie far apart", () => {
  const data = models.stratifiedVeteran();
  const plain = coxRegression(data);
  const far = Array.from(
    data.covariates.karno!,
    (x, i) => x + 2 ** 30 * (data.stratum as string[])[i]!.length,
  );
  const shifted = coxRegression({ ...data, covariates: { ...data.covariates, karno: far } });
  assertClose(shifted.terms[1]!.coefficient, plain.terms[1]!.coefficient);
  assertClose(shifted.covariance[3]!, plain.covariance[3]!);
});

// Everyone with x = 1 dies before anyone without: the likelihood rises to its bound as b grows.
const separated = {
  time: [1, 2, 3, 4, 5, 6, 7, 8],
  event: [1, 1, 1, 1, 1, 1, 0, 1],
  covariates: { x: [1, 1, 1, 0, 0, 0, 0, 0], z: [1, 0, 2, 1, 0, 2, 1, 0] },
};
Deno.test("coxRegression() names a covariate that separates and says it did not converge", () => {
  for (const ties of rules) {
    const fit = coxRegression(separated, { ties });
    assert.deepEqual(fit.separated, ["x"]);
    assert.equal(fit.converged, false);
    assert.match(fit.reason!, /"x"/);
    assert.ok(fit.terms[0]!.coefficient > 8);
  }
});

Deno.test("coxRegression() names a rare covariate that separates in a large cohort", () => {
  const random = new SeededRandom(7);
  const n = 5000;
  const x = Float64Array.from({ length: n }, () => random.normal());
  const rare = Float64Array.from({ length: n }, (_, i) => +(i % 1000 === 0));
  const time = Float64Array.from(x, (value) => random.exponential(Math.exp(0.3 * value)));
  const event = Uint8Array.from(rare, (is) => is === 1 ? 0 : random.bernoulli(0.5));
  const fit = coxRegression({ time, event, covariates: { x, rare } });
  assert.deepEqual(fit.separated, ["rare"]);
  const alone = coxRegression({ time, event, covariates: { x, y: x.map((v) => v * v) } });
  assert.deepEqual(alone.separated, []);
  assert.equal(alone.converged, true);
});

Deno.test("coxRegression() says so when it runs out of iterations", () => {
  const fit = coxRegression(models.veteran(), { maxIterations: 2 });
  assert.equal(fit.converged, false);
  assert.match(fit.reason!, /2 iterations/);
  assert.deepEqual(fit.separated, []);
});

// By hand: two rows at a time, a huge linear predictor that leaves the risk set before the others
// matter. x = 1e6 dies first: the rest decide.
Deno.test("coxRegression() survives an outlier of a million standard deviations", () => {
  const data = models.lungSex();
  const plain = coxRegression(data);
  const time = [0.5, ...Array.from(data.time)];
  // Censored before the first event: in no risk set at all.
  const event = [0, ...Array.from(data.event)];
  const sex = [1e6, ...Array.from(data.covariates.sex!)];
  const fit = coxRegression({ time, event, covariates: { sex } });
  assertClose(fit.terms[0]!.coefficient, plain.terms[0]!.coefficient);
  assertClose(fit.logLikelihood, plain.logLikelihood);
});

// Identity: adding to every covariate of a whole cohort a value that grows without bound as time
// goes back changes no risk set's ranking, only the size of exp(). Compared with a plain evaluation
// in logarithms.
Deno.test("coxRegression() does not overflow when early deaths have enormous hazards", () => {
  const n = 40;
  const time = Array.from({ length: n }, (_, i) => i + 1);
  const event = time.map((_, i) => i % 3 === 2 ? 0 : 1);
  const x = time.map((t, i) => -80 * t + (i % 5) * 45 + (i % 7 === 0 ? -600 : 0));
  const fit = coxRegression({ time, event, covariates: { x } });
  const b = fit.terms[0]!.coefficient;
  let logLikelihood = 0;
  for (let i = 0; i < n; i++) {
    if (event[i] === 0) continue;
    const terms = x.slice(i).map((value) => b * value);
    const top = Math.max(...terms);
    logLikelihood += b * x[i]! - top -
      Math.log(terms.reduce((sum, t) => sum + Math.exp(t - top), 0));
  }
  assertClose(fit.logLikelihood, logLikelihood);
  assert.ok(Number.isFinite(b) && fit.terms[0]!.standardError > 0);
});

// Delayed entry takes rows out again: what is left of a sum must not be rounding. Rows with a huge
// hazard are at risk late only; the early risk sets hold the others alone.
Deno.test("coxRegression() keeps its digits when a dominant row enters late", () => {
  const base = {
    time: [2, 3, 4, 5, 6, 7],
    event: [1, 1, 0, 1, 1, 0],
    entry: [0, 0, 0, 0, 0, 0],
    covariates: { x: [1, 0, 1, 0, 2, 1], z: [0, 0, 0, 0, 0, 0] },
  };
  // In a stratum of its own the late part is a separate set of rows; in one stratum it overlaps the
  // early part in no event time. Both must give one answer.
  const late = {
    time: [12, 13, 14, 15],
    event: [1, 0, 1, 0],
    entry: [10, 10, 10, 10],
    covariates: { x: [40, 40, 41, 40], z: [0, 1, 0, 1] },
  };
  const x = [...base.covariates.x, ...late.covariates.x];
  const joined = {
    time: [...base.time, ...late.time],
    event: [...base.event, ...late.event],
    entry: [...base.entry, ...late.entry],
    covariates: { x },
  };
  const stratum = x.map((_, i) => i < 6 ? "early" : "late");
  const together = coxRegression(joined);
  const apart = coxRegression({ ...joined, stratum });
  assertClose(together.terms[0]!.coefficient, apart.terms[0]!.coefficient);
  assertClose(together.logLikelihood, apart.logLikelihood);
  assertClose(together.covariance[0]!, apart.covariance[0]!);
});

// Near-ties: the same times in years computed two ways must tie.
Deno.test("coxRegression() ties times that differ in the last bits only", () => {
  const days = [100, 200, 300, 300, 400, 500];
  const event = [1, 1, 1, 1, 0, 1];
  const covariates = { x: [1, 0, 2, 0, 1, 0] };
  const exact = coxRegression({ time: days, event, covariates });
  const years = days.map((d, i) => i % 2 ? d / 365.25 : (d / 365.25) * (1 + 4e-16));
  assertClose(
    coxRegression({ time: years, event, covariates }).terms[0]!.coefficient,
    exact.terms[0]!.coefficient,
  );
});

Deno.test("coxRegression() limits contain the estimate and widen with confidence", () => {
  const usual = coxRegression(models.veteran());
  const wide = coxRegression(models.veteran(), { confidence: 0.99 });
  usual.terms.forEach((term, j) => {
    assert.ok(term.lower < term.hazardRatio && term.hazardRatio < term.upper);
    assert.ok(wide.terms[j]!.lower < term.lower && wide.terms[j]!.upper > term.upper);
  });
});
