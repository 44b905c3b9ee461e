import assert from "node:assert/strict";
import { rateRatio, standardizedRatio } from "mitral";
import { assertClose } from "../close.ts";
import { caseNumbers, referenceCase } from "../reference/load.ts";

// Reference: see the source of each case.
Deno.test("rateRatio() agrees with reference case rate-ratio-exact", () => {
  const { expected, tolerance } = referenceCase("rate-ratio-exact");
  const column = (name: string) => caseNumbers(expected[name]);
  const [ratio, lower, upper] = [column("ratio"), column("lower"), column("upper")];
  (expected.events1 as number[]).forEach((events, i) => {
    const found = rateRatio(
      { events, exposure: expected.exposure1[i] },
      { events: expected.events0[i], exposure: expected.exposure0[i] },
      { confidence: expected.confidence[i] },
    );
    assertClose(found.estimate, ratio[i]!, tolerance, `ratio ${i}`);
    assertClose(found.lower, lower[i]!, tolerance, `lower ${i}`);
    assertClose(found.upper, upper[i]!, tolerance, `upper ${i}`);
    assertClose(found.pValue, expected.pTwiceSmallerTail[i], tolerance, `p ${i}`);
  });
});

Deno.test("standardizedRatio() agrees with reference case standardised-ratio", () => {
  const { expected, tolerance } = referenceCase("standardised-ratio");
  (expected.observed as number[]).forEach((observed, i) => {
    const of = (options = {}) => standardizedRatio(observed, expected.expected[i], options);
    const exact = of();
    assertClose(exact.estimate, expected.ratio[i], tolerance);
    assertClose(exact.lower, expected.exactLower[i], tolerance);
    assertClose(exact.upper, expected.exactUpper[i], tolerance);
    assertClose(exact.pValue, expected.pTwiceSmallerTail[i], tolerance);
    const byar = of({ method: "byar" });
    assertClose(byar.lower, expected.byarLower[i], tolerance);
    assertClose(byar.upper, expected.byarUpper[i], tolerance);
    const wide = of({ confidence: 0.998 });
    assertClose(wide.lower, expected.exact998Lower[i], tolerance);
    assertClose(wide.upper, expected.exact998Upper[i], tolerance);
  });
});

// Identity: turning the ratio over turns its limits over.
Deno.test("rateRatio() turned over is one over it", () => {
  const [a, b] = [{ events: 4, exposure: 90 }, { events: 11, exposure: 140 }];
  const [one, other] = [rateRatio(a, b), rateRatio(b, a)];
  assertClose(one.estimate * other.estimate, 1);
  assertClose(one.lower * other.upper, 1);
  assertClose(one.pValue, other.pValue);
});

Deno.test("rateRatio() and standardizedRatio() name what is wrong", () => {
  const fine = { events: 1, exposure: 1 };
  assert.throws(() => rateRatio({ events: 1.5, exposure: 1 }, fine), /a\.events/);
  assert.throws(() => rateRatio(fine, { events: 1, exposure: 0 }), /b\.exposure/);
  assert.throws(() => standardizedRatio(-1, 2), /observed/);
  assert.throws(() => standardizedRatio(1, 0), /expected/);
});
