import assert from "node:assert/strict";
import fc from "fast-check";
import { shrunkenEstimates } from "mitral";
import { assertClose } from "../../close.ts";

// By hand: two estimates of one variance are mirror images, and drawn alike to their mean.
Deno.test("shrunkenEstimates() of two alike populations are mirror images about their mean", () => {
  const { populations, mean } = shrunkenEstimates({ estimates: [0, 4], variances: [1, 1] });
  assertClose(mean.estimate, 2);
  const [first, second] = populations;
  assertClose(first!.estimate + second!.estimate, 4);
  assertClose(first!.shrinkage, second!.shrinkage);
  assertClose(first!.estimate, 2 * first!.shrinkage); // 0 + B (2 - 0)
  assertClose(first!.lower, 4 - second!.upper, { relative: 0, absolute: 1e-9 });
  assert.ok(first!.shrinkage > 0 && first!.shrinkage < 0.5);
});

// By hand: equal variances and k estimates make the posterior of b proportional to
// b^((k - 3) / 2) exp(-b S / 2), S the sum of squares about the mean in units of the variance.
Deno.test("shrunkenEstimates() shrink by the mean of a truncated gamma", () => {
  const estimates = [1, 2, 4, 9];
  const squares = estimates.reduce((sum, y) => sum + (y - 4) ** 2, 0);
  let above = 0;
  let below = 0;
  const steps = 400_000;
  for (let k = 0; k < steps; k++) {
    const b = (k + 0.5) / steps;
    const density = b ** 0.5 * Math.exp(-b * squares / 2 / 3);
    above += b * density;
    below += density;
  }
  const { populations } = shrunkenEstimates({ estimates, variances: [3, 3, 3, 3] });
  for (const one of populations) {
    assertClose(one.shrinkage, above / below, { relative: 1e-4, absolute: 0 });
    assertClose(one.estimate, 4 + (1 - one.shrinkage) * (estimates[populations.indexOf(one)]! - 4));
  }
});

Deno.test("shrunkenEstimates() lie between a population's own estimate and the mean", () => {
  const population = fc.record({
    y: fc.double({ min: -2, max: 2, noNaN: true }),
    v: fc.double({ min: 0.01, max: 1, noNaN: true }),
  });
  fc.assert(fc.property(fc.array(population, { minLength: 2, maxLength: 6 }), (all) => {
    const estimates = all.map(({ y }) => y);
    const variances = all.map(({ v }) => v);
    const { populations } = shrunkenEstimates({ estimates, variances });
    const [least, most] = [Math.min(...estimates), Math.max(...estimates)];
    populations.forEach((one, i) => {
      assert.ok(one.estimate >= least - 1e-9 && one.estimate <= most + 1e-9);
      assert.ok(one.shrinkage > 0 && one.shrinkage < 1);
      // what the others tell never widens the limits beyond the population's own by much
      assert.ok(one.lower < one.estimate && one.estimate < one.upper);
      assert.ok(one.standardError < 1.5 * Math.sqrt(variances[i]!) + (most - least));
    });
  }));
});

Deno.test("shrunkenEstimates() refuse one population, and a variance of 0", () => {
  assert.throws(() => shrunkenEstimates({ estimates: [1], variances: [1] }), /two or more/);
  assert.throws(
    () => shrunkenEstimates({ estimates: [1, 2], variances: [1, 0] }),
    /variances\[1\]/,
  );
});
