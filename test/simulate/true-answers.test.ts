import assert from "node:assert/strict";
import { DataError } from "../../lib/numerics/columns/errors.ts";
import { trueAnswers } from "../../lib/simulate/truth/true-answers.ts";

Deno.test("trueAnswers() refuses a horizon beyond what is simulated, and too few patients", () => {
  assert.throws(() => trueAnswers({ seed: 1, n: 3600, horizons: [20] }), DataError);
  assert.throws(() => trueAnswers({ seed: 1, n: 3600, horizons: [1], batches: 1 }), DataError);
});
