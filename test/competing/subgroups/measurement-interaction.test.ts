import assert from "node:assert/strict";
import { measurementInteraction } from "../../../lib/competing/subgroups/measurement-interaction.ts";
import { DataError } from "../../../lib/numerics/mod.ts";
import { assertClose } from "../../close.ts";

// By hand: without censoring a pseudo-value is the outcome itself, 0 or 1. Group a: x 0 0 1 1,
// outcomes 0 1 0 1, slope 0, residuals -+1/2 and so its robust variance 4 (1/4) (1/4) / 1 = 1/4
// (sum of squared deviations of x is 1). Group b: outcomes 0 0 0 1, slope 1/2, residuals 0 0 -+1/2,
// variance 2 (1/4) (1/4) = 1/8. Statistic (1/2)^2 / (3/8) = 2/3.
Deno.test("measurementInteraction() holds the difference of slopes against its error (by hand)", () => {
  const data = {
    time: new Float64Array(8).fill(1),
    event: [2, 1, 2, 1, 2, 2, 2, 1],
    group: [..."aaaabbbb"],
  };
  const x = [0, 0, 1, 1, 0, 0, 1, 1];
  const found = measurementInteraction(data, [x], { cause: 1, time: 2, fewestEvents: 0 });
  assertClose(found.statistic, 2 / 3);
  assert.equal(found.events, 3);
  // identity: the statistic does not depend on the measurement's unit or on weights all alike
  const other = measurementInteraction(
    { ...data, weight: new Float64Array(8).fill(3) },
    [x.map((value) => 100 - 7 * value)],
    { cause: 1, time: 2, fewestEvents: 0 },
  );
  assertClose(other.statistic, 2 / 3);
});

Deno.test("measurementInteraction() says when there are too few events, and refuses one group", () => {
  const data = { time: [1, 2, 3, 4], event: [1, 0, 1, 0], group: [0, 1, 0, 1] };
  const few = measurementInteraction(data, [[1, 2, 3, 4]], { cause: 1, time: 5 });
  assert.equal(few.tooFew, true);
  assert.ok(Number.isNaN(few.pValue));
  assert.throws(
    () =>
      measurementInteraction({ ...data, group: [1, 1, 1, 1] }, [[1, 2, 3, 4]], {
        cause: 1,
        time: 5,
      }),
    (error) => error instanceof DataError && error.argument === "group",
  );
});
