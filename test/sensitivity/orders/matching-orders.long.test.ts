import assert from "node:assert/strict";
import { matchingChoices, weightChoices, weightedSample } from "mitral";
import { analysis, propensity, study } from "./demo-orders.ts";

Deno.test("matchingChoices() finds no smaller total with as many pairs than the least", () => {
  const choices = matchingChoices(analysis, study, { propensity });
  const least = choices.find(({ label }) => label === "least total distance")!;
  for (const { pairs, total, mean } of choices) {
    assert.ok(pairs <= least.pairs);
    if (pairs === least.pairs) assert.ok(total >= least.total - 1e-9);
    assert.ok(Math.abs(mean * pairs - total) < 1e-9);
  }
});

Deno.test("weightChoices() begins with the plan's weights, and entropy balancing leaves no difference", () => {
  const choices = weightChoices(analysis, study, { propensity });
  const own = weightedSample(analysis, study, { propensity });
  const [first] = choices;
  assert.deepEqual([first!.repair, first!.replacement, first!.cut], [
    own.repair.effective,
    own.replacement.effective,
    0,
  ]);
  const even = choices.find(({ how }) => how === "entropy balancing");
  // by construction every mean agrees, to the convergence of the weights
  assert.ok(even !== undefined && even.largest! < 1e-6);
  assert.ok(choices.some(({ cut }) => cut > 0));
});
