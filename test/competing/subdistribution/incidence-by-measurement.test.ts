import assert from "node:assert/strict";
import { measurementInteraction } from "../../../lib/competing/subgroups/measurement-interaction.ts";
import { incidenceByMeasurement } from "../../../lib/competing/subdistribution/incidence-by-measurement.ts";
import { subdistributionRegression } from "../../../lib/competing/subdistribution/subdistribution-regression.ts";
import { DataError } from "../../../lib/numerics/columns/errors.ts";
import { SeededRandom } from "../../../lib/numerics/replicates/random.ts";
import { splineBasis } from "../../../lib/regression/mod.ts";
import { assertAllClose, assertClose } from "../../close.ts";

/** Invented: the hazard of the event rises with x in group 1, by `slope`, and not in group 0. */
function sample(n: number, seed: number, slope: number) {
  const random = new SeededRandom(seed);
  const rows = { time: [] as number[], event: [] as number[], group: [] as number[] };
  const x: number[] = [];
  for (let i = 0; i < n; i++) {
    const group = random.bernoulli(0.5);
    const value = random.normal();
    const first = random.exponential(0.1 * Math.exp(slope * group * value));
    const second = random.exponential(0.05);
    const end = 2 + 8 * random.uniform();
    rows.time.push(Math.min(first, second, end));
    rows.event.push(first < Math.min(second, end) ? 1 : second < end ? 2 : 0);
    rows.group.push(group);
    x.push(value);
  }
  return { rows, x };
}

Deno.test("incidenceByMeasurement() is the regression written out (identity)", () => {
  const { rows, x } = sample(300, 2, 0.8);
  const knots: [number, number, number] = [-1, 0, 1];
  const missing = x.map((value, i) => i < 20 ? NaN : value);
  const found = incidenceByMeasurement(rows, missing, { cause: 1, time: 4, knots, points: 3 });
  assert.equal(found.n, 280);
  assert.equal(found.unknown, 20);
  const [a, b] = splineBasis(x.slice(20), knots) as [Float64Array, Float64Array];
  const group = Float64Array.from(rows.group.slice(20));
  const fit = subdistributionRegression({
    time: rows.time.slice(20),
    event: rows.event.slice(20),
    covariates: {
      group,
      a,
      b,
      ga: a.map((value, i) => value * group[i]!),
      gb: b.map((value, i) => value * group[i]!),
    },
  }, { cause: 1 });
  assertAllClose(found.fit.terms.map((t) => t.coefficient), fit.terms.map((t) => t.coefficient));
  const known = { ...rows, time: rows.time.slice(20), event: rows.event.slice(20) };
  assert.deepEqual(
    found.interaction,
    measurementInteraction({ ...known, group }, [a, b], { cause: 1, time: 4 }),
  );
  const events = found.curves.map((curve) => curve.events);
  const inGroup = (code: number) =>
    rows.event.filter((e, i) => i >= 20 && e === 1 && rows.group[i] === code).length;
  assert.deepEqual(events, [inGroup(0), inGroup(1)]);
  const at = found.curves[1]!.x[1]!;
  const [atA, atB] = splineBasis([at], knots);
  const profile = { group: 1, a: atA![0]!, b: atB![0]!, ga: atA![0]!, gb: atB![0]! };
  const predicted = fit.incidenceFor(profile, [4]);
  assertClose(found.curves[1]!.incidence[1]!, predicted.incidence[0]!);
  assertClose(found.curves[1]!.upper[1]!, predicted.upper[0]!);
});

Deno.test("incidenceByMeasurement() sees an interaction that is there and not one that is not", () => {
  // Known truth, seeded: a hazard ratio of e per unit in one group only; then in neither.
  const there = sample(800, 5, 1);
  const found = incidenceByMeasurement(there.rows, there.x, { cause: 1, time: 4 });
  // as far as a thousand lines can tell
  assert.equal(found.interaction.pValue, 0.001);
  const [, rising] = found.curves;
  assert.ok(rising!.incidence.at(-1)! > rising!.incidence[0]! + 0.3);
  let rejected = 0;
  for (let seed = 0; seed < 30; seed++) {
    const none = sample(250, 300 + seed, 0);
    const { interaction } = incidenceByMeasurement(none.rows, none.x, {
      cause: 1,
      time: 4,
      points: 2,
    });
    if (interaction.pValue < 0.05) rejected++;
  }
  // 30 tries at 5%: more than 6 has probability 0.0006 (binomial)
  assert.ok(rejected <= 6, `${rejected} of 30`);
});

Deno.test("incidenceByMeasurement() refuses one group and a measurement of another length", () => {
  const { rows, x } = sample(50, 1, 0);
  const options = { cause: 1, time: 2 };
  const argument = (run: () => unknown) => {
    try {
      run();
    } catch (error) {
      if (error instanceof DataError) return error.argument;
      throw error;
    }
    return "none";
  };
  const alone = { ...rows, group: rows.group.map(() => 1) };
  assert.equal(argument(() => incidenceByMeasurement(alone, x, options)), "group");
  assert.equal(argument(() => incidenceByMeasurement(rows, [1], options)), "measurement");
  assert.equal(argument(() => incidenceByMeasurement(rows, x.map(() => 3), options)), "x");
});
