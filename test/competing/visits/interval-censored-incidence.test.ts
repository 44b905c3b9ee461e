import assert from "node:assert/strict";
import fc from "fast-check";
import { cumulativeIncidence, DataError, incidenceBounds, intervalCensoredIncidence } from "mitral";
import { intervalCensoredSurvival, recurrenceShortcuts, SeededRandom } from "mitral";
import { fitIllnessDeath } from "../../../lib/competing/visits/illness-death-em.ts";
import { visitColumns, visitDesign } from "../../../lib/competing/visits/visit-design.ts";
import { assertAllClose, assertClose } from "../../close.ts";
import { patients } from "./visited-cohorts.ts";

// By hand: two found in (1, 2], two seen clear at 3, one dying unfound at 1.2 after a
// clear visit at
// 1. At ratio 1 the mass in (1, 2] is 2 of the 4 whose state was known after 1; the hazard
//    at 1.2 is
// 1 of 5, met before the middle 1.5.
Deno.test("intervalCensoredIncidence() matches five patients worked by hand", () => {
  const data = {
    lastClear: [1, 1, 3, 3, 1],
    found: [2, 2, Infinity, Infinity, Infinity],
    time: [4, 4, 4, 4, 1.2],
    death: [0, 0, 0, 0, 1],
  };
  const fit = intervalCensoredIncidence(data, { deathRateRatio: 1 });
  assert.ok(fit.converged);
  assert.deepEqual([...fit.left, ...fit.right], [1, 2]);
  assertAllClose(fit.mass, [0.5 * Math.exp(-0.2)]);
  const { incidence, least, greatest, eventFree, deathFirst } = fit.at([1, 1.25, 2, 3.5]);
  assertAllClose(incidence, [0, 0.125 * Math.exp(-0.2), 0.5 * Math.exp(-0.2), NaN]);
  assertAllClose(least, [0, 0, 0.5 * Math.exp(-0.2), NaN]);
  assertAllClose(greatest, [0, 0.5, 0.5 * Math.exp(-0.2), NaN]);
  assertAllClose(eventFree, [1, 0.875 * Math.exp(-0.2), 0.5 * Math.exp(-0.2), NaN]);
  assertAllClose(deathFirst.slice(2, 3), [1 - Math.exp(-0.2)]);
  assert.deepEqual([fit.found, fit.deathsUnfound, fit.deathsUnseen], [2, 1, 1]);
  // the unseen death taken as a recurrence: 3 of 5 recur in (1, 1.2], where all three can be, and
  // nobody is left to die first
  const worst = incidenceBounds(data, { unseenDeaths: "recurred" });
  assertAllClose(worst.at([2]).incidence, [0.6]);
  // and as free until then: 2 of 4 after 1.2, one of five dead before
  const best = incidenceBounds(data, { unseenDeaths: "free" });
  assertAllClose(best.at([2]).incidence, [0.5 * Math.exp(-1 / 5)]);
});

// Identity: nobody dies, so it is interval-censored survival.
Deno.test("intervalCensoredIncidence() without deaths is interval-censored survival", () => {
  const data = patients(300, 3, 1);
  const death = data.death.map(() => 0);
  const survival = intervalCensoredSurvival({ lower: data.lastClear, upper: data.found });
  const fit = intervalCensoredIncidence({ ...data, death });
  assert.ok(fit.converged);
  const times = survival.right.filter((t) => t <= fit.lastVisit);
  assertAllClose(fit.at(times).incidence, survival.at(times).survival.map((s) => 1 - s));
});

// Identity: a ratio that is all but 1 is still met by every step of the search, and its curve is
// that of interval-censored survival, which another stopping rule found.
Deno.test("intervalCensoredIncidence() reaches for a ratio near 1 what is known for 1", () => {
  const data = patients(300, 3, 1);
  const times = [1, 2, 4, 6];
  const held = intervalCensoredIncidence(data, { deathRateRatio: 1 });
  const other = intervalCensoredIncidence(data, { deathRateRatio: 1 + 1e-10 });
  assert.ok(held.converged && other.converged);
  const near = { relative: 0, absolute: 1e-6 };
  assertAllClose(other.at(times).least, held.at(times).least, near);
  assertAllClose(other.at(times).greatest, held.at(times).greatest, near);
});

// Identity: recurrences known almost to the day, ratio 1: Aalen-Johansen with exp(-H) for the
// product of 1 - d/n, so equal up to terms of order 1/n.
Deno.test("intervalCensoredIncidence() of exact data is cumulative incidence", () => {
  const { found, time, death } = patients(1000, 5, 1);
  const lastClear = time.map((t, i) => found[i]! < Infinity ? found[i]! - 1e-6 : t);
  const fit = intervalCensoredIncidence({ lastClear, found, time, death }, { deathRateRatio: 1 });
  const exact = cumulativeIncidence({
    time: time.map((t, i) => Math.min(t, found[i]!)),
    event: death.map((died, i) => found[i]! < Infinity ? 1 : died ? 2 : 0),
  });
  const times = [1, 3, 5];
  // deaths after recurrence inform the hazard here and not there: a difference within its error
  const near = { relative: 0.02, absolute: 0 };
  assertAllClose(fit.at(times).incidence, exact.causes[0]!.at(times).incidence, near);
});

/** The log-likelihood from its definition, patient by patient and place by place. */
function slowLogLikelihood(
  data: ReturnType<typeof patients>,
  places: Float64Array,
  mass: Float64Array,
  deathTime: Float64Array,
  hazard: Float64Array,
  ratio: number,
): number {
  const H = (t: number, strictly: boolean) =>
    deathTime.reduce((sum, v, k) => sum + (v < t || !strictly && v === t ? hazard[k]! : 0), 0);
  let total = 0;
  for (let i = 0; i < data.time.length; i++) {
    const end = data.time[i]!;
    const dies = data.death[i] === 1;
    const at = dies ? hazard[deathTime.indexOf(end)]! : 1;
    const latest = Math.min(data.found[i]!, end);
    let likelihood = 0;
    places.forEach((u, s) => {
      if (u > data.lastClear[i]! && u <= latest) {
        const before = H(u, true);
        likelihood += mass[s]! * Math.exp(-before - ratio * (H(end, false) - before)) *
          (dies ? ratio * at : 1);
      } else if (data.found[i] === Infinity && u > end) {
        likelihood += mass[s]! * Math.exp(-H(end, false)) * at;
      }
    });
    total += Math.log(likelihood);
  }
  return total;
}

Deno.test("fitIllnessDeath() stands at the top of the likelihood as defined", () => {
  const data = patients(120, 11, 2);
  const design = visitDesign(visitColumns(data), "modelled");
  const fit = fitIllnessDeath(design, {
    ratio: "estimated",
    tolerance: 1e-9,
    maxIterations: 50_000,
  });
  assert.ok(fit.converged);
  const evaluate = (mass: Float64Array, hazard: Float64Array, ratio: number) =>
    slowLogLikelihood(data, design.middle, mass, design.deathTime, hazard, ratio);
  const top = evaluate(fit.mass, fit.hazard, fit.ratio);
  assertClose(fit.logLikelihood, top, { relative: 1e-9, absolute: 0 });
  const random = new SeededRandom(2);
  for (let trial = 0; trial < 60; trial++) {
    const size = trial % 2 ? 0.3 : 0.02;
    const moved = (column: Float64Array) =>
      column.map((value) => value * Math.exp(size * random.normal()));
    const mass = fit.mass.map((p) => p + size / 20 * random.uniform() / fit.mass.length);
    const other = trial % 3 ? moved(mass) : mass;
    const sum = other.reduce((a, b) => a + b, 0);
    const value = evaluate(
      other.map((p) => p / sum),
      moved(fit.hazard),
      fit.ratio * Math.exp(size * random.normal()),
    );
    assert.ok(value < top + 1e-6, `${value} above ${top}`);
  }
});

Deno.test("recurrenceShortcuts() order as their dates do, between bounds", () => {
  const data = patients(800, 7, 2);
  const times = [1, 3, 5];
  const rows = recurrenceShortcuts(data, { times });
  const of = (method: string) => rows.find((row) => row.method === method)!.incidence;
  times.forEach((_, i) => {
    assert.ok(of("date-found")[i]! <= of("midpoint")[i]! + 1e-9);
    assert.ok(of("midpoint")[i]! <= of("last-clear-visit")[i]! + 1e-9);
    assert.ok(of("date-found")[i]! < of("ignoring-death")[i]!);
    assert.ok(of("no-unseen-recurrence")[i]! < of("interval-censored")[i]!);
    assert.ok(of("interval-censored")[i]! < of("every-death-unseen-recurrence")[i]!);
  });
});

Deno.test("recurrenceShortcuts() hold the death rates equal where they cannot be told apart", () => {
  // nobody dies after a finding, and a death without one may hide it: the ratio runs to a limit
  const data = {
    lastClear: [0, 1, 1, 2, 0, 1, 2],
    found: [1, 2, Infinity, Infinity, Infinity, Infinity, Infinity],
    time: [1, 2, 3, 3, 1, 2, 3],
    death: [0, 0, 1, 1, 1, 1, 0],
  };
  const [estimate] = recurrenceShortcuts(data, { times: [1, 2] });
  const asked = intervalCensoredIncidence(data);
  const held = intervalCensoredIncidence(data, { deathRateRatio: 1 });
  const expected = asked.converged ? asked : held;
  assertAllClose(estimate!.incidence, expected.at([1, 2]).incidence);
  assert.match(estimate!.label, asked.converged ? /death competing/ : /death rate held/);
  assert.ok(estimate!.incidence.every(Number.isFinite));
});

const courses = fc.array(
  fc.record({
    clear: fc.integer({ min: 0, max: 6 }),
    gap: fc.integer({ min: 1, max: 4 }),
    after: fc.integer({ min: 0, max: 5 }),
    found: fc.boolean(),
    death: fc.integer({ min: 0, max: 1 }),
    weight: fc.integer({ min: 1, max: 3 }),
  }),
  { minLength: 3, maxLength: 25, size: "max" },
).filter((rows) => rows.some((row) => row.found)).map((rows) => ({
  lastClear: rows.map((r) => r.clear),
  found: rows.map((r) => r.found ? r.clear + r.gap : Infinity),
  time: rows.map((r) => r.clear + (r.found ? r.gap : 0) + r.after),
  death: rows.map((r) => r.death),
  weight: rows.map((r) => r.weight),
}));

Deno.test("intervalCensoredIncidence() stays a probability, and whole weights are copies", () => {
  fc.assert(
    fc.property(courses, (data) => {
      const { weight, ...rest } = data;
      const options = { deathRateRatio: 2, tolerance: 1e-9 };
      const fit = intervalCensoredIncidence(data, options);
      const index = weight.flatMap((w, i) => Array(w).fill(i) as number[]);
      const copies = intervalCensoredIncidence({
        lastClear: index.map((i) => rest.lastClear[i]!),
        found: index.map((i) => rest.found[i]!),
        time: index.map((i) => rest.time[i]!),
        death: index.map((i) => rest.death[i]!),
      }, options);
      assertClose(fit.logLikelihood, copies.logLikelihood, { relative: 1e-7, absolute: 1e-6 });
      const { incidence, least, greatest, eventFree } = fit.at([fit.lastVisit / 2, fit.lastVisit]);
      incidence.forEach((value, i) => {
        assert.ok(value >= least[i]! - 1e-12 && value <= greatest[i]! + 1e-12);
        assert.ok(least[i]! >= -1e-12 && greatest[i]! <= 1 + 1e-9);
        assert.ok(eventFree[i]! >= -1e-12 && value + eventFree[i]! <= 1 + 1e-9);
      });
    }),
    { numRuns: 40 },
  );
});

Deno.test("intervalCensoredIncidence() bootstrap limits repeat with the seed and hold the estimate", () => {
  const data = patients(200, 21, 1);
  const options = { deathRateRatio: 1, bootstrap: 40, seed: 4 };
  const first = intervalCensoredIncidence(data, options).at([2, 4]);
  assert.deepEqual(intervalCensoredIncidence(data, options).at([2, 4]).lower, first.lower);
  first.incidence.forEach((value, i) => {
    assert.ok(first.lower[i]! < value && value < first.upper[i]!);
  });
  assert.ok(Number.isNaN(intervalCensoredIncidence(data).at([2]).lower[0]));
});

Deno.test("intervalCensoredIncidence() refuses visits out of order and data without recurrence", () => {
  const good = { lastClear: [1, 2], found: [2, Infinity], time: [3, 3], death: [0, 1] };
  const refuse = (change: object, argument: string) =>
    assert.throws(
      () => intervalCensoredIncidence({ ...good, ...change }),
      (error) => error instanceof DataError && error.argument === argument,
    );
  refuse({ lastClear: [1, 4] }, "lastClear");
  for (const deathRateRatio of [0, -1, Infinity, NaN]) {
    assert.throws(
      () => intervalCensoredIncidence(good, { deathRateRatio }),
      (error) => error instanceof DataError && error.argument === "deathRateRatio",
    );
  }
  refuse({ found: [1, Infinity] }, "found");
  refuse({ found: [4, Infinity] }, "found");
  refuse({ found: [Infinity, Infinity] }, "found");
  refuse({ death: [0, 2] }, "death");
  refuse({ time: [NaN, 3] }, "time");
});
