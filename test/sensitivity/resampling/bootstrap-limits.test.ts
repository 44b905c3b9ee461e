import assert from "node:assert/strict";
import { bootstrapLimits, DataError, SeededRandom } from "mitral";
import { assertClose } from "../../close.ts";
import { numeric, referenceCase, referenceRows } from "../../reference/load.ts";

// Reference: see the source of the case.
for (const name of ["city", "counts"]) {
  Deno.test(`bootstrapLimits() agree with the reference on the ${name} replicates`, () => {
    const { expected, tolerance } = referenceCase("bootstrap-limits");
    const data = {
      estimate: expected[name].estimate,
      replicates: numeric(referenceRows(`boot-${name}.csv`), "t"),
      jackknife: numeric(referenceRows(`boot-${name}-jackknife.csv`), "value"),
    };
    for (const wanted of expected[name].limits) {
      const methods = { percentile: "percentile", basic: "basic", accelerated: "bca" } as const;
      for (const method of ["percentile", "basic", "accelerated"] as const) {
        const found = bootstrapLimits(data, { method, confidence: wanted.confidence });
        const limits = wanted[methods[method]];
        assertClose(found.lower, limits.lower, tolerance, `${method} lower`);
        assertClose(found.upper, limits.upper, tolerance, `${method} upper`);
      }
    }
  });
}

Deno.test("bootstrapLimits() leave the replicates as they were, and refuse what gives none", () => {
  const replicates = Float64Array.of(3, 1, 2, 5);
  bootstrapLimits({ estimate: 2, replicates }, { method: "percentile" });
  assert.deepEqual([...replicates], [3, 1, 2, 5]);
  const jackknife = [1, 2, 3];
  const accelerate = (estimate: number) =>
    bootstrapLimits({ estimate, replicates, jackknife }, { method: "accelerated" });
  assert.throws(() => accelerate(0), /either side/);
  assert.throws(() => accelerate(9), /either side/);
  assert.throws(
    () => bootstrapLimits({ estimate: 2, replicates }, { method: "accelerated" }),
    /jackknife/,
  );
  assert.throws(
    () => bootstrapLimits({ estimate: 2, replicates: [1, NaN] }, { method: "basic" }),
    DataError,
  );
});

// By hand: replicates symmetric about the estimate and no skewness make all three the same.
Deno.test("bootstrapLimits() are the same three where nothing is skew", () => {
  const random = new SeededRandom(3);
  const half = Array.from({ length: 2000 }, () => random.normal());
  const data = {
    estimate: 0,
    replicates: [...half, ...half.map((value) => -value)],
    jackknife: [-1, 0, 1],
  };
  const percentile = bootstrapLimits(data, { method: "percentile" });
  for (const method of ["basic", "accelerated"] as const) {
    const found = bootstrapLimits(data, { method });
    assertClose(found.lower, percentile.lower);
    assertClose(found.upper, percentile.upper);
  }
});
