import assert from "node:assert/strict";
import fc from "fast-check";
import { confounderBias, eValue } from "mitral";
import { assertClose } from "../../close.ts";
import { referenceCase } from "../../reference/load.ts";

// Reference: see the source of the case.
Deno.test("confounderBias() agrees with the reference", () => {
  const { expected: { adjusted }, tolerance } = referenceCase("unmeasured-confounder");
  adjusted.ratio.forEach((ratio: number, i: number) => {
    const found = confounderBias({
      ratio,
      lower: adjusted.lower[i],
      upper: adjusted.upper[i],
      outcomeRatio: adjusted.confounderRatio[i],
      prevalence: [adjusted.prevalence1[i], adjusted.prevalence0[i]],
    });
    assertClose(found.biasFactor, adjusted.biasFactor[i], tolerance);
    assertClose(found.ratio, adjusted.adjusted[i], tolerance);
    assertClose(found.lower!, adjusted.adjustedLower[i], tolerance);
    assertClose(found.upper!, adjusted.adjustedUpper[i], tolerance);
  });
});

// By hand: E^2 / (2 E - 1) is the ratio itself (Ding & VanderWeele 2016).
Deno.test("confounderBias() of an E-value's confounder takes all of the ratio away", () => {
  const { expected: { eValue: { ratio } } } = referenceCase("unmeasured-confounder");
  for (const one of ratio) {
    const e = eValue(one).estimate;
    const found = confounderBias({ ratio: one, outcomeRatio: e, prevalence: [1, 1 / e] });
    assertClose(found.ratio, 1);
  }
});

Deno.test("confounderBias() turns over with the groups, and nothing changes without a tie", () => {
  const share = fc.double({ min: 0, max: 1, noNaN: true });
  const factor = fc.double({ min: 0.05, max: 20, noNaN: true });
  fc.assert(fc.property(share, share, factor, factor, (one, other, ratio, outcomeRatio) => {
    const found = confounderBias({ ratio, outcomeRatio, prevalence: [one, other] });
    const turned = confounderBias({ ratio: 1 / ratio, outcomeRatio, prevalence: [other, one] });
    assertClose(turned.ratio, 1 / found.ratio);
    assertClose(confounderBias({ ratio, outcomeRatio, prevalence: [one, one] }).ratio, ratio);
    assertClose(confounderBias({ ratio, outcomeRatio: 1, prevalence: [one, other] }).ratio, ratio);
    assert.equal("lower" in found, false);
  }));
});

Deno.test("confounderBias() refuses shares beyond 1, and limits on the wrong side", () => {
  const plan = { ratio: 0.8, outcomeRatio: 2, prevalence: [0.1, 0.4] as [number, number] };
  assert.throws(() => confounderBias({ ...plan, prevalence: [0.1, 40] }), /prevalence\[1\]/);
  assert.throws(() => confounderBias({ ...plan, outcomeRatio: 0 }), /outcomeRatio/);
  assert.throws(() => confounderBias({ ...plan, lower: 0.9 }), /lower must be at most/);
  assert.throws(() => confounderBias({ ...plan, upper: 0.7 }), /upper must be at least/);
});
