import assert from "node:assert/strict";
import * as mitral from "mitral";
import { warningsOf } from "../../lib/balance/score/mod.ts";
import fc from "fast-check";
import { medianP, poolRatio } from "../../lib/missing/pool/mod.ts";
import { withinOne } from "../../lib/missing/pool/pool-contrasts.ts";
import { assertClose } from "../close.ts";
import { analysis, quick, study, survivalIn } from "./demo-sets.ts";

Deno.test("acrossSets() pools what each completed set gives", async () => {
  const completed = await mitral.completedSets(analysis, study, { ...quick, method: "impute" });
  const pooled = mitral.acrossSets(completed, survivalIn);
  const each = [0, 1].map((k) => survivalIn(completed.analysis(k)));
  pooled.forEach((contrast, t) => {
    const [one, other] = each.map((set) => set[t]!);
    const rubin = mitral.poolImputations({
      estimates: [one!.difference.estimate, other!.difference.estimate],
      variances: [one!.difference.standardError ** 2, other!.difference.standardError ** 2],
      completeDegreesOfFreedom: analysis.n - 2,
    });
    assertClose(contrast.difference.estimate, rubin.estimate);
    assertClose(contrast.difference.lower, rubin.lower);
    assertClose(contrast.difference.pValue, rubin.pValue);
    assert.equal(contrast.time, one!.time);
    const [replacement, repair] = contrast.groups;
    assertClose(repair!.estimate - replacement!.estimate, contrast.difference.estimate);
    assert.ok(repair!.lower < repair!.estimate && repair!.estimate < repair!.upper);
  });
});

// identity: sets that agree give back what each says, but for the t limits
Deno.test("poolContrast() of sets that agree is each of them; ratios pool on their logarithm", () => {
  const time = Float64Array.from({ length: 240 }, (_, i) => 1 + i / 28);
  const event = time.map((_, i) => i % 3 === 0 ? 1 : i % 3 === 1 ? 2 : 0);
  const group = Array.from(time, (_, i) => i % 2);
  // by eight years each group has 30 events and more, which are not few
  const [contrast] = mitral.incidenceDifference({ time, event, group }, { cause: 1, times: [8] });
  const same = mitral.poolContrast([contrast!, contrast!, contrast!]);
  for (const key of ["estimate", "standardError", "lower", "upper"] as const) {
    assertClose(same.difference[key], contrast!.difference[key]);
    assertClose(same.ratio[key], contrast!.ratio[key]);
    assertClose(same.groups[0]![key], contrast!.groups[0]![key]);
  }
  assert.deepEqual([same.sets, same.fewEvents], [3, false]);
  // few events: each side for itself, and without an event in a group
  for (const events of [0, 4]) {
    const rare = Array.from(
      group,
      (side, i) => side === 1 && i < 2 * events ? 1 : event[i] === 2 ? 2 : 0,
    );
    const [few] = mitral.incidenceDifference({ time, event: rare, group }, {
      cause: 1,
      times: [5],
    });
    const pooled = mitral.poolContrast([few!, few!]);
    assert.equal(pooled.fewEvents, true);
    for (const key of ["estimate", "lower", "upper"] as const) {
      assertClose(pooled.difference[key], few!.difference[key]);
      for (const k of [0, 1]) assertClose(pooled.groups[k]![key], few!.groups[k]![key]);
    }
  }
  assert.throws(() => mitral.poolContrast([contrast!]), mitral.DataError);
  // by hand: the geometric mean
  const ratio = (estimate: number) => ({ estimate, standardError: 0.1, lower: 0, upper: 0 });
  assertClose(mitral.poolIntervals([ratio(1), ratio(4)], { scale: "log" }).estimate, 2);
  assert.ok(Number.isNaN(mitral.poolIntervals([ratio(1), ratio(NaN)]).estimate));
});

Deno.test("a pooled estimate lies among those that it is of, to the last digit (property)", () => {
  // by hand: a twentieth of 1, twenty times, adds up to 1.0000000000000002
  const alive = { estimate: 1, standardError: 0, lower: 0.97, upper: 1 };
  assert.equal(withinOne(Array(20).fill(alive), {}).estimate, 1);
  fc.assert(fc.property(
    fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { minLength: 2, maxLength: 40 }),
    (estimates) => {
      const variances = estimates.map(() => 0.01);
      const { estimate } = mitral.poolImputations({ estimates, variances });
      assert.ok(estimate >= Math.min(...estimates) && estimate <= Math.max(...estimates));
    },
  ));
});

Deno.test("tippingPoint() finds the move at which zero leaves the limits", async () => {
  // an outcome that is the covariate itself: moving one group's values moves the difference
  const contrastOf = (set: mitral.Analysis) => {
    const values = set.columns.pasp as Float64Array;
    const [replacement, repair] = [0, 1].map((arm) =>
      values.filter((_, i) => set.treated[i] === arm)
    );
    const { estimate, lower, upper, standardError, pValue } = mitral.welchTest(
      repair!,
      replacement!,
    );
    return {
      groups: [{ group: "all", estimate: 0.5, standardError: 0.1, lower: 0, upper: 1 }],
      difference: { estimate, standardError, lower, upper, pValue },
    };
  };
  const found = await mitral.tippingPoint(
    analysis,
    study,
    { column: "pasp", by: [0, 40, -40], group: "repair" },
    contrastOf,
    { sets: 2, workers: 0 },
  );
  const estimates = found.steps.map(({ difference }) => difference.estimate);
  assert.deepEqual(found.steps.map(({ by }) => by), [-40, 0, 40]);
  assert.ok(estimates[0]! < estimates[1]! && estimates[1]! < estimates[2]!);
  assert.equal(found.group, "repair");
  // sets at hand give the step of 0 without drawing them again
  const unmoved = await mitral.completedSets(analysis, study, {
    method: "impute",
    sets: 3,
    workers: 0,
  });
  const again = await mitral.tippingPoint(
    analysis,
    study,
    { column: "pasp", by: [0], group: "repair" },
    contrastOf,
    { sets: 2, workers: 0, unmoved },
  );
  assert.deepEqual(again.steps[0], found.steps[1]);
  const side = ({ lower, upper }: { lower: number; upper: number }) =>
    lower > 0 ? 1 : upper < 0 ? -1 : 0;
  const sides = found.steps.map(({ difference }) => side(difference));
  const changed = found.steps.filter((_, k) => sides[k] !== sides[1]);
  assert.equal(found.tips === null, changed.length === 0);
  await assert.rejects(
    mitral.tippingPoint(analysis, study, { column: "pasp", by: [1] }, contrastOf),
    /by must be such that 0/,
  );
});

Deno.test("weights and pairs are made in each completed set, and pooled curves agree with contrasts", async () => {
  const completed = await mitral.completedSets(analysis, study, { ...quick, method: "impute" });
  const death = mitral.followUpOf(analysis, "death");
  const recurrence = mitral.followUpOf(analysis, "recurrence");
  const whole = mitral.withCompletions(analysis, completed);
  const propensity = mitral.studyPropensity(whole, study);
  const weighting = mitral.weightedSample(whole, study, { propensity });
  const matching = mitral.matchedSample(whole, study, { propensity });
  assert.equal(weighting.inSets?.length, 2);
  assert.notDeepEqual(weighting.inSets[0]!.weight, weighting.inSets[1]!.weight);
  // each set's weights are those of its own analysis, whose score begins elsewhere
  for (const [k, { weight }] of weighting.inSets.entries()) {
    const own = mitral.weightedSample(completed.analysis(k), study).weight;
    weight.forEach((value, row) => assertClose(value, own[row]!));
  }
  const under = [
    (followUp: mitral.EndpointFollowUp) => mitral.underWeights(followUp, weighting),
    (followUp: mitral.EndpointFollowUp) => mitral.underMatching(followUp, matching),
  ];
  for (const design of under) {
    const alive = design(death);
    assert.equal(alive.inSets?.length, 2);
    const [contrast] = mitral.pooledContrasts(
      alive,
      (data) => mitral.survivalDifference(data, { times: [5] }),
    );
    const curves = mitral.pooledSurvivalByGroup(alive);
    curves.forEach(({ group, curve }, k) => {
      assert.equal(group, contrast!.groups[k]!.group);
      const at = curve.at([5]);
      assertClose(at.survival[0]!, contrast!.groups[k]!.estimate);
      assertClose(at.standardError[0]!, contrast!.groups[k]!.standardError, {
        relative: 1e-6,
        absolute: 0,
      });
      // a curve falls, within its limits, and its steps are what `at` gives
      for (let j = 1; j < curve.time.length; j++) {
        assert.ok(curve.survival[j]! <= curve.survival[j - 1]! + 1e-12);
        assert.ok(
          !(curve.lower[j]! > curve.survival[j]!) && !(curve.upper[j]! < curve.survival[j]!),
        );
      }
      const middle = curve.time.length >> 1;
      assertClose(curve.at([curve.time[middle]!]).survival[0]!, curve.survival[middle]!);
      const total = curve.event.reduce((sum, d) => sum + d, 0);
      assert.ok(total > 0 && curve.quantile(0.1).estimate > 0);
    });
    const leaks = design(recurrence);
    const [found] = mitral.pooledContrasts(
      leaks,
      (data) => mitral.incidenceDifference(data, { cause: 1, times: [5] }),
    );
    mitral.pooledIncidenceByGroup(leaks).forEach((curve, k) => {
      const { incidence } = curve.causes[0]!.at([5]);
      assertClose(incidence[0]!, found!.groups[k]!.estimate);
      const last = curve.time.length - 1;
      const sum = curve.causes.reduce((total, cause) => total + cause.incidence[last]!, 0);
      assertClose(sum + curve.eventFree[last]!, 1);
    });
  }
});

Deno.test("mean weights give the pooled estimates, nearly; limits are wider by what imputing adds", async () => {
  const options = { ...quick, sets: 3, method: "impute" } as const;
  const completed = await mitral.completedSets(analysis, study, options);
  const whole = mitral.withCompletions(analysis, completed);
  const weighting = mitral.weightedSample(whole, study);
  const death = mitral.underWeights(mitral.followUpOf(analysis, "death"), weighting);
  const alive = (data: mitral.DesignedFollowUp) => mitral.survivalDifference(data, { times: [5] });
  const [pooled] = mitral.pooledContrasts(death, alive);
  const [averaged] = alive(death);
  const gap = Math.abs(pooled!.difference.estimate - averaged!.difference.estimate);
  assert.ok(gap < 0.02 * averaged!.difference.standardError, String(gap));
  // by hand: Rubin's total variance
  const sets = death.inSets!.map((set) => alive(set)[0]!.difference);
  const mean = sets.reduce((sum, { estimate }) => sum + estimate, 0) / 3;
  const between = sets.reduce((sum, { estimate }) => sum + (estimate - mean) ** 2, 0) / 2;
  const within = sets.reduce((sum, { standardError }) => sum + standardError ** 2, 0) / 3;
  assertClose(pooled!.difference.estimate, mean);
  assertClose(pooled!.difference.standardError, Math.sqrt(within + 4 / 3 * between));
  // counts are those of the patients, who are the same in every set
  assert.deepEqual(
    pooled!.groups.map(({ events }) => events),
    averaged!.groups.map(({ events }) => events),
  );
  // a warning of every set stands once, one of some sets alone says so
  assert.deepEqual(warningsOf([{ warnings: ["a", "b"] }, { warnings: ["a"] }]), [
    "a",
    "In some of the completed sets: b",
  ]);
  // without completed sets there is nothing to pool
  const marked = mitral.weightedSample(analysis, study);
  assert.equal(marked.inSets, undefined);
  const alone = mitral.underWeights(mitral.followUpOf(analysis, "death"), marked);
  assert.deepEqual(mitral.pooledContrasts(alone, alive), alive(alone));
  // a population takes its patients' part of every set
  const rows = Int32Array.from({ length: analysis.n }, (_, row) => row).filter((row) => row % 2);
  const half = mitral.patientsAmong(whole, rows, { id: "odd", reason: "even rows" });
  mitral.completedAnalyses(half).forEach((set, k) => {
    const every = completed.analysis(k).columns.lvef as Float64Array;
    assert.deepEqual(set.columns.lvef, Float64Array.from(rows, (row) => every[row]!));
  });
});

Deno.test("poolRatio() pools on the scale of the logarithm, and a test by its median p", () => {
  const ratio = (hazardRatio: number, error: number) => ({
    hazardRatio,
    lower: hazardRatio * Math.exp(-1.959963984540054 * error),
    upper: hazardRatio * Math.exp(1.959963984540054 * error),
    pValue: 0.5,
  });
  const pooled = poolRatio([ratio(0.5, 0.2), ratio(0.8, 0.2)]);
  assertClose(pooled.hazardRatio, Math.sqrt(0.4));
  const between = (Math.log(0.8) - Math.log(0.5)) ** 2 / 2;
  const { lower, upper } = pooled;
  const { standardError, degreesOfFreedom } = mitral.poolImputations({
    estimates: [Math.log(0.5), Math.log(0.8)],
    variances: [0.04, 0.04],
  });
  assertClose(standardError ** 2, 0.04 + 1.5 * between);
  const reach = mitral.distributions.studentUpperQuantile(0.025, degreesOfFreedom) * standardError;
  assertClose(Math.log(upper / lower), 2 * reach);
  assert.equal(medianP([0.2, NaN, 0.9, 0.4]), 0.4);
  assert.ok(Number.isNaN(medianP([NaN])));
});

Deno.test("contrastsByMethod() gives under each method what that method gives alone", async () => {
  const completed = await mitral.completedSets(analysis, study, { ...quick, method: "impute" });
  const alive = (data: mitral.DesignedFollowUp) =>
    mitral.survivalDifference(data, { times: [1, 5] });
  const about = { analysis, study, endpoint: "death" } as const;
  const found = await mitral.contrastsByMethod(completed, about, alive);
  assert.deepEqual(found.map(({ method }) => method), ["impute", "mean-and-mark", "complete"]);
  const death = mitral.followUpOf(analysis, "death");
  const whole = mitral.withCompletions(analysis, completed);
  const imputed = mitral.underWeights(death, mitral.weightedSample(whole, study));
  assert.deepEqual(found[0]?.contrasts, mitral.pooledContrasts(imputed, alive));
  const { weight } = mitral.weightedSample(analysis, study);
  assert.deepEqual(found[1]?.contrasts, alive(mitral.underWeights(death, weight)));
  // of fewer patients: another answer
  assert.notDeepEqual(found[2]?.contrasts, found[1]?.contrasts);
});
