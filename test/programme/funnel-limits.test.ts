import assert from "node:assert/strict";
import { DataError, funnelLimits } from "mitral";
import { assertAllClose, assertClose } from "../close.ts";
import { referenceCase } from "../reference/load.ts";

// Reference: see the case's source (Spiegelhalter 2005, appendix A.1.1).
Deno.test("funnelLimits() agrees with the reference", () => {
  const { expected, tolerance } = referenceCase("funnel-limits");
  for (const [name, of] of Object.entries<Record<string, number[]>>(expected)) {
    const target = Number(name.replace("theta ", ""));
    const n = of.n!;
    for (const [confidence, digits] of [[0.95, "95"], [0.998, "998"]] as const) {
      const { lower, upper } = funnelLimits({ target, n, confidence });
      assertAllClose(lower, of[`interpolatedLower${digits}`]!, tolerance, `${name} lower`);
      assertAllClose(upper, of[`interpolatedUpper${digits}`]!, tolerance, `${name} upper`);
    }
  }
});

// By hand, n = 1: P(X <= 0) = 0.2 >= 0.025, so r = 0 and the limit is cut at 0; above, P(X <= 0) <
// 0.975 <= P(X <= 1) = 1, so r = 1 and a = 0.025 / 0.8.
Deno.test("funnelLimits() of one operation", () => {
  const { lower, upper } = funnelLimits({ target: 0.8, n: [1], confidence: 0.95 });
  assert.equal(lower[0], 0);
  assertClose(upper[0]!, 1 - 0.025 / 0.8);
});

// Identity: exchanging the two outcomes mirrors counts, and so nearly the limits.
Deno.test("funnelLimits() of the other outcome lie opposite, within one count", () => {
  const n = [30, 300, 3000];
  const one = funnelLimits({ target: 0.3, n, confidence: 0.95 });
  const other = funnelLimits({ target: 0.7, n, confidence: 0.95 });
  n.forEach((size, i) => assert.ok(Math.abs(one.lower[i]! - (1 - other.upper[i]!)) < 1.01 / size));
});

Deno.test("funnelLimits() says what is wrong with its input", () => {
  assert.throws(
    () => funnelLimits({ target: 0.9, n: [10, 2.5], confidence: 0.95 }),
    new DataError("n", "an integer >= 1", 2.5, 1),
  );
  assert.throws(() => funnelLimits({ target: 1, n: [10], confidence: 0.95 }), DataError);
  assert.throws(() => funnelLimits({ target: 0.9, n: [10], confidence: 95 }), DataError);
});
