import { deepEqual, ok } from "node:assert/strict";
import fc from "fast-check";
import { drawnDifference, drawnShareLimits } from "../../../lib/competing/visits/mod.ts";
import { distributions } from "../../../lib/numerics/mod.ts";
import { assertAllClose, assertClose } from "../../close.ts";

// Identity: with the variance of a binomial share the effective number is the number itself, and
// the limits are the exact ones (Clopper & Pearson 1934).
Deno.test("drawnShareLimits() of few events are exact limits of the effective number", () => {
  const [events, n] = [6, 240];
  const estimate = events / n;
  const standardError = Math.sqrt(estimate * (1 - estimate) / n);
  assertAllClose(drawnShareLimits({ estimate, standardError, seenClear: 1 }, 0.95), [
    distributions.betaQuantile(0.025, events, n - events + 1),
    distributions.betaQuantile(0.975, events + 1, n - events),
  ]);
});

// By hand: F^exp(-+ z s / (F log F)), z = 1.959964, s / (F log F) = 0.02 / (0.2 * 1.609438).
Deno.test("drawnShareLimits() of many events are log-log", () => {
  const reach = 1.959963984540054 * 0.02 / (0.2 * Math.log(5));
  assertAllClose(drawnShareLimits({ estimate: 0.2, standardError: 0.02, seenClear: 1 }, 0.95), [
    0.2 ** Math.exp(reach),
    0.2 ** Math.exp(-reach),
  ]);
});

// By hand: nobody of 50 seen clear is below 1 - 0.025^(1/50).
Deno.test("drawnShareLimits() without an event are those of none among the patients seen clear", () => {
  const none = { estimate: 0, standardError: 0, seenClear: 50 };
  assertAllClose(drawnShareLimits(none, 0.95), [0, 1 - 0.025 ** (1 / 50)]);
  deepEqual(drawnShareLimits({ ...none, seenClear: 0 }, 0.95), [0, 1]);
});

const share = fc.record({
  estimate: fc.double({ min: 0.002, max: 0.8, noNaN: true }),
  relative: fc.double({ min: 0.03, max: 1, noNaN: true }),
}).map(({ estimate, relative }) => ({
  estimate,
  standardError: estimate * (1 - estimate) * relative,
  seenClear: 100,
}));

Deno.test("drawnDifference() turns with its groups, and lies within what the shares allow", () => {
  fc.assert(fc.property(share, share, (a, b) => {
    const standardError = Math.hypot(a.standardError, b.standardError);
    const [lower, upper] = drawnShareLimits(a, 0.95);
    ok(lower >= 0 && lower <= a.estimate && a.estimate <= upper && upper <= 1);
    const one = drawnDifference({ from: a, to: b, standardError }, 0.95);
    const other = drawnDifference({ from: b, to: a, standardError }, 0.95);
    assertClose(one.lower, -other.upper, { relative: 1e-9, absolute: 1e-12 });
    ok(one.lower <= one.estimate && one.estimate <= one.upper);
    // the p value and the limits agree on 0
    const excludes = one.lower > 0 || one.upper < 0;
    if (Math.abs(one.pValue - 0.05) > 1e-6) deepEqual(excludes, one.pValue < 0.05);
  }));
});
