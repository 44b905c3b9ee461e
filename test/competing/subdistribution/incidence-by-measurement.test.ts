import assert from "node:assert/strict";
import { measurementInteraction } from "../../../lib/competing/subgroups/measurement-interaction.ts";
import { incidenceByMeasurement } from "../../../lib/competing/subdistribution/incidence-by-measurement.ts";
import { subdistributionRegression } from "../../../lib/competing/subdistribution/subdistribution-regression.ts";
import { splineBasis } from "../../../lib/regression/mod.ts";
import { assertAllClose, assertClose } from "../../close.ts";
import { sample } from "./measured-rows.ts";
import { refusedBy } from "../../refused.ts";

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
  // three points from the 5th to the 95th percentile: the ends and the middle
  const sorted = x.slice(20).sort((one, other) => one - other);
  const ends = [0.05, 0.95].map((p) => {
    const place = p * (sorted.length - 1);
    const below = sorted[Math.floor(place)]!;
    return below + (place - Math.floor(place)) * (sorted[Math.floor(place) + 1]! - below);
  });
  for (const curve of found.curves) {
    assertAllClose(curve.x, [ends[0]!, (ends[0]! + ends[1]!) / 2, ends[1]!]);
  }
  const at = found.curves[1]!.x[1]!;
  const [atA, atB] = splineBasis([at], knots);
  const profile = { group: 1, a: atA![0]!, b: atB![0]!, ga: atA![0]!, gb: atB![0]! };
  const predicted = fit.incidenceFor(profile, [4]);
  assertClose(found.curves[1]!.incidence[1]!, predicted.incidence[0]!);
  assertClose(found.curves[1]!.upper[1]!, predicted.upper[0]!);
});

Deno.test("incidenceByMeasurement() refuses one group and a measurement of another length", () => {
  const { rows, x } = sample(50, 1, 0);
  const options = { cause: 1, time: 2 };
  const alone = { ...rows, group: rows.group.map(() => 1) };
  assert.equal(refusedBy(() => incidenceByMeasurement(alone, x, options)), "group");
  assert.equal(refusedBy(() => incidenceByMeasurement(rows, [1], options)), "measurement");
  assert.equal(refusedBy(() => incidenceByMeasurement(rows, x.map(() => 3), options)), "x");
});
