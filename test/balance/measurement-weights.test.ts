import assert from "node:assert/strict";
import fc from "fast-check";
import { measurementWeights } from "../../lib/balance/mod.ts";
import { assertAllClose, assertClose } from "../close.ts";

Deno.test("measurementWeights() by hand: two kinds of patients, looked at unequally", () => {
  // by hand: 4 of 8 and 6 of 8 measured; share 10/16; weights 0.625/0.5 and 0.625/0.75
  const kind = Array.from({ length: 16 }, (_, i) => i < 8 ? 0 : 1);
  const measured = kind.map((k, i) => k === 0 ? +(i < 4) : +(i < 14));
  const { weight, chance, effective } = measurementWeights({ measured, covariates: { kind } });
  assertAllClose(chance, kind.map((k) => k ? 0.75 : 0.5), { relative: 1e-6, absolute: 1e-6 });
  assertAllClose(weight, measured.map((one, i) => one ? 0.625 / (kind[i] ? 0.75 : 0.5) : 0), {
    relative: 1e-6,
    absolute: 1e-6,
  });
  // by hand: (5 + 5)^2 / (4 * 1.25^2 + 6 * (5/6)^2) = 100 / 10.41667
  assertClose(effective, 9.6, { relative: 1e-6, absolute: 1e-6 });
});

Deno.test("measurementWeights() makes the measured look like all, in what it is given", () => {
  fc.assert(
    fc.property(
      fc.array(fc.tuple(fc.integer({ min: 0, max: 3 }), fc.boolean()), {
        minLength: 40,
        maxLength: 120,
      }),
      (rows) => {
        // every kind has some of both, or there is no finite model
        const kinds = [0, 1, 2, 3].flatMap((k) => [[k, true], [k, false]] as const);
        const all = [...rows, ...kinds];
        const measured = all.map(([, one]) => +one);
        const covariates = Object.fromEntries(
          [1, 2, 3].map((k) => [`k${k}`, all.map(([kind]) => +(kind === k))]),
        );
        const { weight } = measurementWeights({ measured, covariates });
        const total = weight.reduce((sum, w) => sum + w, 0);
        // a model with one term a kind is saturated: weighted shares are those of everybody
        assertClose(total, measured.reduce((sum, one) => sum + one, 0), {
          relative: 1e-5,
          absolute: 1e-5,
        });
        for (const values of Object.values(covariates)) {
          const share = values.reduce((sum, x, i) => sum + x * weight[i]!, 0) / total;
          assertClose(share, values.reduce((sum, x) => sum + x, 0) / all.length, {
            relative: 1e-5,
            absolute: 1e-5,
          });
        }
      },
    ),
    { numRuns: 50 },
  );
});

Deno.test("measurementWeights() with everybody or nobody measured", () => {
  const all = measurementWeights({ measured: [1, 1, 1], covariates: { x: [1, 2, 3] } });
  assert.deepEqual([...all.weight], [1, 1, 1]);
  assert.equal(all.fit, undefined);
  assert.throws(
    () => measurementWeights({ measured: [0, 0], covariates: { x: [1, 2] } }),
    /measured must be 1 in at least one row/,
  );
});
