import assert from "node:assert/strict";
import { incidenceByMeasurement } from "../../../lib/competing/subdistribution/incidence-by-measurement.ts";
import { sample } from "./measured-rows.ts";

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
