import assert from "node:assert/strict";
import { hazardLimit } from "../../lib/simulate/mechanism/hazard-limit.ts";
import { assertClose } from "../close.ts";

Deno.test("hazardLimit() solves the score of a small example", () => {
  // By hand: events of the first group on day 0, of the second on day 1; 2 and 2 at risk, then 1
  // and 2. Score: 1 - 2r/(2 + 2r) - r/(2 + r) = 0, so r² = 2 and r = √2.
  const first = {
    total: 2,
    event: Float64Array.of(1, 0),
    leaving: Float64Array.of(1, 0),
  };
  const second = {
    total: 2,
    event: Float64Array.of(0, 1),
    leaving: Float64Array.of(0, 1),
  };
  assertClose(hazardLimit(first, second), Math.log(2) / 2, { relative: 1e-9, absolute: 0 });
});

Deno.test("hazardLimit() gives the ratio of two constant hazards, whatever the censoring", () => {
  // Identity: exact expected counts of daily hazards 0.001 and 0.0004; censoring only thins them.
  const table = (hazard: number, censoring: number) => {
    const event = new Float64Array(3000);
    const leaving = new Float64Array(3000);
    let risk = 1;
    for (let day = 0; day < 3000; day++) {
      event[day] = risk * hazard;
      leaving[day] = risk * (hazard + censoring);
      risk -= leaving[day]!;
    }
    return { total: 1, event, leaving };
  };
  const plain = hazardLimit(table(0.001, 0), table(0.0004, 0));
  const censored = hazardLimit(table(0.001, 0.0005), table(0.0004, 0.0005));
  assertClose(plain, Math.log(2.5), { relative: 1e-9, absolute: 0 });
  assertClose(censored, Math.log(2.5), { relative: 1e-9, absolute: 0 });
});

Deno.test("hazardLimit() changes sign when the groups change places", () => {
  const one = { total: 3, event: Float64Array.of(1, 0, 1), leaving: Float64Array.of(1, 0, 1) };
  const two = { total: 5, event: Float64Array.of(1, 1, 1), leaving: Float64Array.of(1, 1, 2) };
  assertClose(hazardLimit(one, two), -hazardLimit(two, one), { relative: 0, absolute: 1e-9 });
  assert.equal(hazardLimit(one, one), 0);
});
